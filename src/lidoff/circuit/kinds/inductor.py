"""Inductors, and coils coupled by a common core."""

from __future__ import annotations

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Law, Parameter, Parameters, Ports, Response
from lidoff.circuit.laws import INDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, zero_or_more

_WINDINGS = ("primary", "secondary", "tertiary")


def _coil(p: Parameters) -> Parameters:
    return {
        "voltage": np.zeros(1),
        "connected": np.ones(1),
        "resistance": p["winding_resistance"],
        "inductance": p["inductance"],
    }


def _inductor(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=INDUCTANCE, joins=("1", "2"), derive=_coil),)


def _windings_law(count: int) -> Law:
    """Law of a number of coupled windings: each drops its resistance and the change of the flux that all make together."""

    def respond(ports: Ports, p: Parameters) -> Response:
        voltages, currents = ports[:count], ports[count:]
        like = np.zeros_like(currents[0])
        resistances = [p[f"resistance_{k}"] + like for k in range(count)]
        drops = [v - r * i for v, i, r in zip(voltages, currents, resistances, strict=True)]
        ones = [np.ones_like(like)] * count
        return Response((*currents, *drops), (*ones, *ones, *(-r for r in resistances)))

    def keep(ports: Ports, p: Parameters) -> Response:
        currents = ports[count:]
        like = np.zeros_like(currents[0])
        values: list[Array] = []
        slopes: list[Array] = []
        for j in range(count):
            row = [-p[f"inductance_{min(j, k)}{max(j, k)}"] + like for k in range(count)]
            values.append(sum((m * i for m, i in zip(row, currents, strict=True)), start=like))
            slopes.extend(row)
        return Response(tuple(values), tuple(slopes))

    terminals = tuple(f"{end}{k}" for k in range(count) for end in ("a", "b"))
    unknowns = tuple(f"current{k}" for k in range(count))
    across = tuple({f"a{k}": 1.0, f"b{k}": -1.0} for k in range(count))
    through = tuple({f"current{k}": 1.0} for k in range(count))
    return Law(
        name=f"{count} coupled windings",
        terminals=terminals,
        unknowns=unknowns,
        ports=(*across, *through),
        rows=(*across, *through),
        pairs=(
            *((k, count + k) for k in range(count)),
            *((count + k, k) for k in range(count)),
            *((count + k, count + k) for k in range(count)),
        ),
        respond=respond,
        linear=True,
        store=keep,
        store_rows=through,
        store_pairs=tuple((j, count + k) for j in range(count) for k in range(count)),
    )


TWO_WINDINGS = _windings_law(2)
THREE_WINDINGS = _windings_law(3)


def _inductances(p: Parameters, ratios: tuple[Array, ...]) -> dict[str, Array]:
    """Own and mutual inductances from that of the primary, the turns ratios and one coupling coefficient."""
    turns = (np.ones(1), *(1.0 / ratio for ratio in ratios))
    table = {}
    for j in range(len(turns)):
        for k in range(j, len(turns)):
            share = p["coupling"] if j != k else np.ones(1)
            table[f"inductance_{j}{k}"] = share * p["primary_inductance"] * turns[j] * turns[k]
    return table


def _two(p: Parameters) -> Parameters:
    return {
        **_inductances(p, (p["turns_ratio"],)),
        "resistance_0": p["primary_resistance"],
        "resistance_1": p["secondary_resistance"],
    }


def _three(p: Parameters) -> Parameters:
    return {
        **_inductances(p, (p["turns_ratio"], p["tertiary_turns_ratio"])),
        "resistance_0": p["primary_resistance"],
        "resistance_1": p["secondary_resistance"],
        "resistance_2": p["tertiary_resistance"],
    }


def _pins(count: int) -> tuple[str, ...]:
    return tuple(f"{winding}_{end}" for winding in _WINDINGS[:count] for end in ("1", "2"))


def _transformer(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=TWO_WINDINGS, joins=_pins(2), derive=_two),)


def _with_tertiary(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=THREE_WINDINGS, joins=_pins(3), derive=_three),)


def _ratio(name: str, says: str) -> Parameter:
    return positive(name, "1", 1.0, says, spread=0.03)


_CURRENT, _CURRENT_RATING = rating(
    "current_rating", "A", "current", 1.0, "current that heats it within its limit"
)
_SATURATION, _SATURATION_RATING = rating(
    "saturation_current", "A", "peak current", 1.0, "current at which its inductance has dropped noticeably"
)
_POWER, _POWER_RATING = rating(
    "power_rating", "VA", "apparent power", 1.0, "apparent power of the secondaries"
)

INDUCTOR = Kind(
    name="inductor",
    outline=outlines.INDUCTOR,
    title="inductor",
    letters=("L",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_inductor,
    parameters=(
        positive("inductance", "H", None, "inductance", spread=0.2),
        zero_or_more("winding_resistance", "Ω", 0.1, "resistance of the wire", spread=0.3),
        _CURRENT,
        _SATURATION,
    ),
    ratings=(_CURRENT_RATING, _SATURATION_RATING),
    example={"inductance": 10e-6},
    main_value="inductance",
    says="resists a change of its current; saturation is left out",
    source="Faraday's law of induction, v = R·i + L·di/dt",
)
_WINDING_PARAMETERS = (
    _ratio("turns_ratio", "turns of the primary over turns of the secondary"),
    positive(
        "primary_inductance", "H", 10.0, "inductance of the primary, the other windings open", spread=0.3
    ),
    zero_or_more("coupling", "1", 0.999, "coupling coefficient between windings", maximum=1.0),
    zero_or_more("primary_resistance", "Ω", 1.0, "resistance of the primary's wire", spread=0.1),
    zero_or_more("secondary_resistance", "Ω", 0.1, "resistance of the secondary's wire", spread=0.1),
)
_TERTIARY_PARAMETERS = (
    _ratio("tertiary_turns_ratio", "turns of the primary over turns of the tertiary"),
    zero_or_more("tertiary_resistance", "Ω", 0.1, "resistance of the tertiary's wire", spread=0.1),
)
_TRANSFORMER_SAYS = (
    "hands alternating current from winding to winding; pins ending in 1 are the ends of the same polarity"
)
_TRANSFORMER_SOURCE = (
    "coupled inductances, M = k·√(L1·L2); hysteresis and saturation of the core are left out"
)

TRANSFORMER = Kind(
    name="transformer",
    title="transformer",
    letters=("T", "TR"),
    pins=_pins(2),
    path=("primary_1", "primary_2"),
    elements=_transformer,
    parameters=(*_WINDING_PARAMETERS, _POWER),
    ratings=(_POWER_RATING,),
    main_value="turns_ratio",
    outline=outlines.TRANSFORMER,
    controls=(("primary_1", "secondary_1"),),
    says=_TRANSFORMER_SAYS,
    source=_TRANSFORMER_SOURCE,
)
THREE_WINDING_TRANSFORMER = Kind(
    name="three_winding_transformer",
    outline=outlines.THREE_WINDING_TRANSFORMER,
    title="transformer with three windings",
    letters=("T", "TR"),
    pins=_pins(3),
    path=("primary_1", "primary_2"),
    elements=_with_tertiary,
    parameters=(*_WINDING_PARAMETERS, *_TERTIARY_PARAMETERS, _POWER),
    ratings=(_POWER_RATING,),
    main_value="turns_ratio",
    controls=(("primary_1", "secondary_1"), ("primary_1", "tertiary_1")),
    says=f"{_TRANSFORMER_SAYS}; a centre tap is two windings joined",
    source=_TRANSFORMER_SOURCE,
)

MEMBERS = (INDUCTOR, THREE_WINDING_TRANSFORMER, TRANSFORMER)
