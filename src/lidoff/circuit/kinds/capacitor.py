"""Capacitors: ceramic, film and electrolytic, with series and leakage resistance."""

from __future__ import annotations

from dataclasses import replace

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameter, Parameters
from lidoff.circuit.kinds.wire import branch_of
from lidoff.circuit.laws import BRANCH, CAPACITANCE, CONDUCTANCE
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import positive, rating, signed, zero_or_more

SERIES_RESISTANCE = zero_or_more(
    "series_resistance", "Ω", None, "resistance in series with the plates", spread=0.5
)
LEAKAGE_RESISTANCE = positive("leakage_resistance", "Ω", None, "resistance across the plates", spread=0.5)


def _store(p: Parameters) -> Parameters:
    return {"capacitance": p["capacitance"]}


def _series(p: Parameters) -> Parameters:
    return branch_of(p["series_resistance"])


def _leak(p: Parameters) -> Parameters:
    return {"conductance": 1.0 / p["leakage_resistance"]}


def capacitor_elements(part: Part, first: str, second: str, *, has_series: bool) -> tuple[Element, ...]:
    """Elements of a capacitor between two pins; series and leakage resistance only where there is one."""
    plate = "~plate" if has_series else first
    elements = [Element(law=CAPACITANCE, joins=(plate, second), derive=_store)]
    if has_series:
        elements.append(Element(law=BRANCH, joins=(first, plate), derive=_series))
    if "leakage_resistance" in part.values:
        elements.append(Element(law=CONDUCTANCE, joins=(first, second), derive=_leak))
    return tuple(elements)


def _plain(part: Part) -> tuple[Element, ...]:
    return capacitor_elements(part, "1", "2", has_series="series_resistance" in part.values)


def _electrolytic(part: Part) -> tuple[Element, ...]:
    return capacitor_elements(part, "plus", "minus", has_series=True)


def _capacitance(spread: float, source: str) -> Parameter:
    return positive("capacitance", "F", None, "capacitance", spread=spread, source=source)


_CERAMIC_VOLTAGE, _RATING = rating("voltage_rating", "V", "voltage", 25.0, "highest steady voltage")
_FILM_VOLTAGE, _ = rating("voltage_rating", "V", "voltage", 250.0, "highest steady voltage")
_ELECTROLYTIC_VOLTAGE, _ = rating("voltage_rating", "V", "voltage", 16.0, "highest steady voltage")
_REVERSE, _REVERSE_RATING = rating("reverse_rating", "V", "reverse voltage", 1.0, "highest reverse voltage")
_RIPPLE, _RIPPLE_RATING = rating(
    "ripple_rating", "A", "ripple current", 0.2, "highest effective ripple current"
)
_ALTERNATING, _ALTERNATING_RATING = rating(
    "alternating_rating",
    "V",
    "voltage",
    None,
    "highest effective alternating voltage, as printed with ~ or with a class such as X2",
)
_ALTERNATING_RATING = replace(_ALTERNATING_RATING, over_time="effective")
_LIFE = positive("rated_life", "s", None, "life that its maker promises at the rated temperature")
_HOTTEST = signed("rated_temperature", "°C", None, "temperature that it is made for, such as 105 °C")
_SOURCE = "Q = C·V"

CAPACITOR = Kind(
    name="capacitor",
    outline=outlines.CAPACITOR,
    title="ceramic capacitor",
    letters=("C",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_plain,
    parameters=(
        _capacitance(0.1, "±10 %: the usual grade of X7R parts, common practice, no source"),
        _CERAMIC_VOLTAGE,
    ),
    only_if_told=(SERIES_RESISTANCE, LEAKAGE_RESISTANCE, _ALTERNATING),
    ratings=(_RATING, _ALTERNATING_RATING),
    example={"capacitance": 100e-9},
    main_value="capacitance",
    says="keeps charge in proportion to its voltage; that high values lose capacitance under voltage is left out",
    source=_SOURCE,
)
FILM_CAPACITOR = Kind(
    name="film_capacitor",
    outline=outlines.CAPACITOR,
    title="film capacitor",
    letters=("C",),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_plain,
    parameters=(
        _capacitance(0.1, "±10 %: the usual grade, common practice, no source"),
        _FILM_VOLTAGE,
    ),
    only_if_told=(SERIES_RESISTANCE, LEAKAGE_RESISTANCE, _ALTERNATING),
    ratings=(_RATING, _ALTERNATING_RATING),
    example={"capacitance": 470e-9},
    main_value="capacitance",
    says="keeps charge; stands mains voltage where its class says so",
    source=_SOURCE,
)
ELECTROLYTIC_CAPACITOR = Kind(
    name="electrolytic_capacitor",
    outline=outlines.POLARISED_CAPACITOR,
    title="electrolytic capacitor",
    letters=("C",),
    pins=("plus", "minus"),
    path=("plus", "minus"),
    elements=_electrolytic,
    parameters=(
        _capacitance(0.2, "±20 %: the usual grade, common practice, no source"),
        zero_or_more("series_resistance", "Ω", 0.5, "equivalent series resistance", spread=0.5),
        _ELECTROLYTIC_VOLTAGE,
        _REVERSE,
        _RIPPLE,
    ),
    only_if_told=(LEAKAGE_RESISTANCE, _LIFE, _HOTTEST),
    ratings=(_RATING, _REVERSE_RATING, _RIPPLE_RATING),
    example={"capacitance": 100e-6},
    main_value="capacitance",
    says="keeps much charge, one way round only, with noticeable series resistance",
    source=_SOURCE,
)

MEMBERS = (CAPACITOR, ELECTROLYTIC_CAPACITOR, FILM_CAPACITOR)
