"""Conductors: wire, zero-ohm link, contact, two-conductor cable and board track, down to exactly zero ohms."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from lidoff.circuit import outlines
from lidoff.circuit.kind import Array, Element, Kind, Parameter, Parameters
from lidoff.circuit.laws import BRANCH
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import NO_SOURCE, TEMPERATURE, positive, rating, signed, zero_or_more
from lidoff.errors import ImpossibleValue

COPPER_SOURCE = "IEC 60028:1925, annealed copper at 20 °C: 1/58 Ω·mm²/m and 0.003 93 /K (from memory)"
GAUGE_SOURCE = "ASTM B258 (from memory): diameter 0.127 mm · 92^((36 − gauge)/39)"
RESISTIVITY = positive(
    "resistivity", "Ω·m", 1e-6 / 58.0, "of the conductor at 20 °C", spread=0.03, source=COPPER_SOURCE
)
COEFFICIENT = signed(
    "temperature_coefficient",
    "1/K",
    0.00393,
    "relative change of the resistance for each kelvin above 20 °C",
    source=COPPER_SOURCE,
)
LENGTH = zero_or_more("length", "m", None, "length of the conductor, one way", spread=0.05)
CROSS_SECTION = positive(
    "cross_section", "m²", None, "metal cross-section of one conductor", spread=0.1, source=NO_SOURCE
)
GAUGE = signed("gauge", "1", None, "American wire gauge of one conductor", source=GAUGE_SOURCE)
RESISTANCE = "resistance between the ends"


def conductor_resistance(
    length: Array, cross_section: Array, resistivity: Array, coefficient: Array, temperature: Array
) -> Array:
    """Resistance of a conductor of one cross-section [Ω].

    Parameters
    ----------
    length, cross_section : ndarray
        [m], [m²].
    resistivity : ndarray
        At 20 °C [Ω·m].
    coefficient : ndarray
        Relative change for each kelvin [1/K].
    temperature : ndarray
        [°C].

    Examples
    --------
    >>> round(conductor_resistance(58.0, 1e-6, 1e-6 / 58.0, 0.00393, 20.0), 9)
    1.0
    """
    return resistivity * (1.0 + coefficient * (temperature - 20.0)) * length / cross_section


def gauge_cross_section(gauge: Array) -> Array:
    """Cross-section of a solid round wire of an American wire gauge [m²]."""
    diameter = 0.127e-3 * 92.0 ** ((36.0 - gauge) / 39.0)
    result: Array = np.pi / 4.0 * diameter**2
    return result


def branch_of(resistance: Array) -> Parameters:
    """Parameters of a plain conductor for the law ``branch``."""
    resistance = np.atleast_1d(resistance)
    return {
        "resistance": resistance,
        "voltage": np.zeros_like(resistance),
        "connected": np.ones_like(resistance),
    }


def _plain(p: Parameters) -> Parameters:
    return branch_of(p["resistance"])


def _from_gauge(p: Parameters) -> Array:
    return gauge_cross_section(p["gauge"])


def _from_area(p: Parameters) -> Array:
    return p["cross_section"]


def _geometric(area: Callable[[Parameters], Array]) -> Callable[[Parameters], Parameters]:
    def derive(p: Parameters) -> Parameters:
        return branch_of(
            conductor_resistance(
                p["length"], area(p), p["resistivity"], p["temperature_coefficient"], p["temperature"]
            )
        )

    return derive


def _half_loop(p: Parameters) -> Parameters:
    return branch_of(0.5 * p["loop_resistance"])


def _refuse_both(part: Part, direct: str) -> None:
    geometric = [name for name in ("length", "cross_section", "gauge") if name in part.values]
    told = [name for name in (direct, "gauge", "cross_section") if name in part.values]
    if len(told) > 1 or (direct in part.values and geometric):
        names = " and ".join((direct, *geometric) if direct in part.values else told)
        raise ImpossibleValue(
            f"{part.reference}: {names} say the same thing twice",
            remedy=f"give {direct}, or the length with the cross_section or the gauge",
        )


def _section(part: Part) -> Callable[[Parameters], Array]:
    return _from_gauge if "gauge" in part.values else _from_area


def _wire(part: Part) -> tuple[Element, ...]:
    _refuse_both(part, "resistance")
    sized = "gauge" in part.values or "cross_section" in part.values
    if sized != ("length" in part.values):
        raise ImpossibleValue(
            f"{part.reference}: a wire's resistance needs both its length and its cross_section or gauge",
            remedy="add the missing one, or give the resistance instead",
        )
    derive = _geometric(_section(part)) if sized else _plain
    return (Element(law=BRANCH, joins=("1", "2"), derive=derive),)


def _two_ends(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=BRANCH, joins=("1", "2"), derive=_plain),)


def _cable(part: Part) -> tuple[Element, ...]:
    _refuse_both(part, "loop_resistance")
    derive = _half_loop if "loop_resistance" in part.values else _geometric(_section(part))
    if "loop_resistance" not in part.values and not {"gauge", "cross_section"} & set(part.values):
        raise ImpossibleValue(
            f"{part.reference}: a cable needs its loop_resistance, or its length with cross_section or gauge",
            remedy="measure the loop with the far ends joined, or read the gauge off the jacket",
        )
    return (
        Element(law=BRANCH, joins=("near_plus", "far_plus"), derive=derive),
        Element(law=BRANCH, joins=("far_minus", "near_minus"), derive=derive),
    )


def _track_resistance(p: Parameters) -> Parameters:
    return branch_of(
        conductor_resistance(
            p["length"],
            p["width"] * p["thickness"],
            p["resistivity"],
            p["temperature_coefficient"],
            p["temperature"],
        )
    )


def _track(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return (Element(law=BRANCH, joins=("1", "2"), derive=_track_resistance),)


def _between(typical: float, spread: float, says: str = RESISTANCE) -> Parameter:
    return zero_or_more("resistance", "Ω", typical, says, spread=spread)


_LINK_CURRENT, _LINK_RATING = rating("current_rating", "A", "current", 1.0, "highest continuous current")
_CONTACT_CURRENT, _CONTACT_RATING = rating(
    "current_rating", "A", "current", 3.0, "highest continuous current"
)

WIRE = Kind(
    name="wire",
    outline=outlines.LINK,
    title="wire",
    letters=("W",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_wire,
    parameters=(_between(0.0, 0.2), RESISTIVITY, COEFFICIENT, TEMPERATURE),
    only_if_told=(LENGTH, CROSS_SECTION, GAUGE),
    main_value="resistance",
    says="joins two places with little resistance; told by its resistance, or by length with cross-section or gauge",
    source=f"Ohm's law; {COPPER_SOURCE}; {GAUGE_SOURCE}",
)
LINK = Kind(
    name="link",
    outline=outlines.LINK,
    title="zero-ohm link",
    letters=("R", "JP"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_two_ends,
    parameters=(_between(0.01, 1.0), _LINK_CURRENT),
    ratings=(_LINK_RATING,),
    main_value="resistance",
    says="a chip or wire bridge that stands for a connection",
    source="Ohm's law; up to 50 mΩ for a chip of zero ohms, common practice, no source",
)
CONTACT = Kind(
    name="contact",
    outline=outlines.CONTACT,
    title="contact of a plug and socket",
    letters=("X", "J"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_two_ends,
    parameters=(_between(0.02, 0.5, "resistance of the contact"), _CONTACT_CURRENT),
    ratings=(_CONTACT_RATING,),
    main_value="resistance",
    says="two metals pressed together, with a little resistance where they touch",
    source="Ohm's law; tens of milliohms a contact, common practice, no source",
)
CABLE = Kind(
    name="cable",
    outline=outlines.CABLE,
    title="two-conductor cable",
    letters=("W",),
    pins=("near_plus", "near_minus", "far_plus", "far_minus"),
    path=("near_plus", "far_plus"),
    elements=_cable,
    parameters=(RESISTIVITY, COEFFICIENT, TEMPERATURE),
    only_if_told=(
        LENGTH,
        CROSS_SECTION,
        GAUGE,
        zero_or_more("loop_resistance", "Ω", None, "there and back, far ends joined", spread=0.1),
    ),
    example={"length": 1.0, "cross_section": 0.2e-6},
    main_value="loop_resistance",
    says="carries current there and back, half of the loop's resistance in each conductor",
    source=f"Ohm's law; {COPPER_SOURCE}; {GAUGE_SOURCE}",
)
TRACK = Kind(
    name="track",
    outline=outlines.LINK,
    title="board track",
    letters=("W",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_track,
    parameters=(
        LENGTH,
        positive("width", "m", None, "width of the copper", spread=0.1),
        positive(
            "thickness",
            "m",
            35e-6,
            "thickness of the copper",
            spread=0.15,
            source="35 µm for one ounce to the square foot, common practice, no source",
        ),
        RESISTIVITY,
        COEFFICIENT,
        TEMPERATURE,
    ),
    example={"length": 0.05, "width": 0.5e-3},
    main_value="length",
    says="copper on the board, its resistance from its length, width and thickness",
    source=f"Ohm's law; {COPPER_SOURCE}",
)

MEMBERS = (CABLE, CONTACT, LINK, TRACK, WIRE)
