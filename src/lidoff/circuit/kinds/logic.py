"""Logic gates: inverter, buffer, and gates with two inputs, with plain or Schmitt inputs."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Law, Parameters, Ports, Response
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, zero_or_more
from lidoff.circuit.smooth import band_limited, logistic, step
from lidoff.circuit.steering import STEADY_DRAW, steady_draw

SWING = 0.01  # of the supply: how far an input is from its threshold where the output has moved noticeably
LEAST_SWING_SUPPLY = 0.5  # [V] below which the swing no longer shrinks with the supply
WAKING = np.full(1, 0.05)  # [V] over which the output comes alive with the supply

# Level of the output before inversion from the levels of the inputs, 0 to 1, and its slopes.
Combine = Callable[[Sequence[Array]], tuple[Array, tuple[Array, ...]]]


def _alone(levels: Sequence[Array]) -> tuple[Array, tuple[Array, ...]]:
    return levels[0], (np.ones_like(levels[0]),)


def _both(levels: Sequence[Array]) -> tuple[Array, tuple[Array, ...]]:
    one, other = levels
    return one * other, (other, one)


def _either(levels: Sequence[Array]) -> tuple[Array, tuple[Array, ...]]:
    one, other = levels
    return one + other - one * other, (1.0 - other, 1.0 - one)


def _just_one(levels: Sequence[Array]) -> tuple[Array, tuple[Array, ...]]:
    one, other = levels
    return one + other - 2.0 * one * other, (1.0 - 2.0 * other, 1.0 - 2.0 * one)


def feedback_share(hysteresis: Array) -> Array:
    """Shift of the threshold by the output's state for which a gate turns over at the told thresholds.

    Parameters
    ----------
    hysteresis : ndarray
        Between both thresholds, over the supply voltage.

    Returns
    -------
    ndarray
        Shift from state 0 to state 1, over the supply voltage; zero where there is no hysteresis.

    Notes
    -----
    The input's transition has a width, so the gate tips over before the input has come to the shifted threshold: where the
    loop gain ``A·h·(1 − h)`` is one, with ``A`` the shift in widths. The told half width ``T`` in widths is then
    ``A·(1/2 − h) − ln((1 − h)/h)``, which is solved for ``A ≥ 4`` by halving.
    """
    wanted = hysteresis / (2.0 * SWING)
    low, high = np.full_like(wanted, 4.0), 4.0 + 4.0 * wanted + 40.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        level = 0.5 * (1.0 - np.sqrt(1.0 - 4.0 / middle))
        reached = middle * (0.5 - level) - np.log((1.0 - level) / level)
        low, high = np.where(reached < wanted, middle, low), np.where(reached < wanted, high, middle)
    return np.where(hysteresis > 0.0, SWING * 0.5 * (low + high), 0.0)


def _swing(supply: Array) -> tuple[Array, Array]:
    """Width of the input's transition [V], and its slope by the supply."""
    size = np.hypot(supply, LEAST_SWING_SUPPLY)
    return SWING * size, SWING * supply / size


def _gate_law(name: str, inputs: tuple[str, ...], combine: Combine, *, inverts: bool) -> Law:
    turn = -1.0 if inverts else 1.0

    def respond(ports: Ports, p: Parameters) -> Response:
        *pins, supply, out, state = ports
        swing, swing_slope = _swing(supply)
        # The output's own state shifts the threshold against the last change: hysteresis.
        share = p["threshold_share"] - turn * p["feedback"] * (state - 0.5)
        levels, by_pin, by_supply, by_state = [], [], [], []
        for pin in pins:
            u = (pin - share * supply) / swing
            high = logistic(u)
            slope = high * (1.0 - high)
            levels.append(high)
            by_pin.append(slope / swing)
            by_supply.append(slope * (-share - u * swing_slope) / swing)
            by_state.append(slope * turn * p["feedback"] * supply / swing)
        together, slopes = combine(levels)
        wanted = 0.5 + turn * (together - 0.5)
        alive, alive_slope = step(supply - p["least_supply"], WAKING)
        drive = alive / p["output_resistance"]
        drive_slope = alive_slope / p["output_resistance"]
        return Response(
            (drive * state * (out - supply), drive * (1.0 - state) * out, state - wanted),
            (
                drive_slope * state * (out - supply) - drive * state,
                drive * state,
                drive * (out - supply),
                drive_slope * (1.0 - state) * out,
                drive * (1.0 - state),
                -drive * out,
                *(-turn * s * own for s, own in zip(slopes, by_pin, strict=True)),
                -turn
                * sum(
                    (s * own for s, own in zip(slopes, by_supply, strict=True)), start=np.zeros_like(state)
                ),
                1.0
                - turn
                * sum((s * own for s, own in zip(slopes, by_state, strict=True)), start=np.zeros_like(state)),
            ),
        )

    def limit(new: Ports, old: Ports, p: Parameters) -> Ports:
        *pins, supply, out, state = new
        swing, _ = _swing(supply)
        middle, reach = p["threshold_share"] * supply, (10.0 + p["feedback"] / SWING) * swing
        held = [
            band_limited(pin, before, middle - reach, middle + reach, 0.3 * reach)
            for pin, before in zip(pins, old, strict=False)
        ]
        return (*held, supply, out, state)

    def keep(ports: Ports, p: Parameters) -> Response:
        slowness = p["delay"] + np.zeros_like(ports[-1])
        return Response((slowness * ports[-1],), (slowness,))

    count = len(inputs)
    supply, out, state = count, count + 1, count + 2
    return Law(
        name=name,
        terminals=(*inputs, "output", "supply", "ground"),
        unknowns=("state",),
        ports=(
            *({pin: 1.0, "ground": -1.0} for pin in inputs),
            {"supply": 1.0, "ground": -1.0},
            {"output": 1.0, "ground": -1.0},
            {"state": 1.0},
        ),
        rows=({"output": 1.0, "supply": -1.0}, {"output": 1.0, "ground": -1.0}, {"state": 1.0}),
        pairs=(
            *((0, port) for port in (supply, out, state)),
            *((1, port) for port in (supply, out, state)),
            *((2, port) for port in range(count)),
            (2, supply),
            (2, state),
        ),
        respond=respond,
        store=keep,
        store_rows=({"state": 1.0},),
        store_pairs=((0, state),),
        limit=limit,
    )


def _with_feedback(p: Parameters) -> Parameters:
    return {**p, "feedback": feedback_share(p["hysteresis"])}


_SUPPLY, _SUPPLY_RATING = rating("supply_rating", "V", "supply-ground", 6.0, "highest supply voltage")
_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "output current", 0.025, "highest output current")


def _gate(
    name: str, title: str, combine: Combine, inputs: tuple[str, ...], *, inverts: bool, says: str
) -> Kind:
    law = _gate_law(name, inputs, combine, inverts=inverts)

    def elements(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
        return (
            Element(law=law, joins=(*inputs, "output", "supply", "ground"), derive=_with_feedback),
            Element(
                law=STEADY_DRAW, joins=("supply", "ground"), derive=lambda p: steady_draw(p["supply_current"])
            ),
        )

    return Kind(
        name=name,
        title=title,
        letters=("U", "IC"),
        pins=(*inputs, "output", "supply", "ground"),
        elements=elements,
        outline=outlines.LOGIC[name],
        parameters=(
            positive(
                "threshold_share", "1", 0.5, "input threshold over supply voltage", spread=0.2, maximum=1.0
            ),
            zero_or_more(
                "hysteresis",
                "1",
                0.0,
                "between both thresholds of a Schmitt input, over supply voltage",
                maximum=0.9,
            ),
            positive("output_resistance", "Ω", 40.0, "of the output to either rail", spread=0.5),
            positive("delay", "s", 10e-9, "from input to output", spread=0.5),
            zero_or_more("least_supply", "V", 1.5, "supply voltage at which it comes alive", within=0.3),
            zero_or_more("supply_current", "A", 1e-6, "current for itself, at rest", spread=0.9),
            _SUPPLY,
            _CURRENT,
        ),
        ratings=(_SUPPLY_RATING, _CURRENT_RATING),
        main_value="threshold_share",
        controls=tuple((pin, "output") for pin in inputs),
        says=says,
        source="behavioural: a CMOS gate as two resistances to its rails, led by its inputs' levels; values of a 5 V CMOS "
        "family, common practice, no source",
    )


_ONE, _TWO = ("input",), ("input_1", "input_2")

MEMBERS = (
    _gate(
        "and_gate", "AND gate", _both, _TWO, inverts=False, says="its output is high while both inputs are"
    ),
    _gate("buffer", "buffer", _alone, _ONE, inverts=False, says="its output repeats its input with strength"),
    _gate(
        "inverter", "inverter", _alone, _ONE, inverts=True, says="its output is high while its input is low"
    ),
    _gate(
        "nand_gate",
        "NAND gate",
        _both,
        _TWO,
        inverts=True,
        says="its output is low only while both inputs are high",
    ),
    _gate(
        "nor_gate",
        "NOR gate",
        _either,
        _TWO,
        inverts=True,
        says="its output is high only while both inputs are low",
    ),
    _gate("or_gate", "OR gate", _either, _TWO, inverts=False, says="its output is high while an input is"),
    _gate(
        "xor_gate",
        "XOR gate",
        _just_one,
        _TWO,
        inverts=False,
        says="its output is high while just one input is",
    ),
)
