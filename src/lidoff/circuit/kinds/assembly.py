"""Several junctions in one body: bridge rectifier, two-way suppressor, varistor."""

from __future__ import annotations

from dataclasses import replace

from lidoff.circuit import outlines
from lidoff.circuit.kind import Element, Kind, Parameter
from lidoff.circuit.kinds.diode import breakdown_junction, forward_junction
from lidoff.circuit.laws import JUNCTION
from lidoff.circuit.netlist import Part
from lidoff.circuit.parameters import TEMPERATURE, positive, rating, signed, zero_or_more


def _bridge(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    ways = (("ac_1", "plus"), ("ac_2", "plus"), ("minus", "ac_1"), ("minus", "ac_2"))
    return tuple(Element(law=JUNCTION, joins=way, derive=forward_junction) for way in ways)


def _both_ways(part: Part) -> tuple[Element, ...]:  # noqa: ARG001
    return tuple(
        Element(law=JUNCTION, joins=way, derive=breakdown_junction) for way in (("1", "2"), ("2", "1"))
    )


def _clamp(voltage: float, current: float, resistance: float, slope: float) -> tuple[Parameter, ...]:
    return (
        positive(
            "breakdown_voltage", "V", voltage, "voltage of either sign at the breakdown current", spread=0.1
        ),
        positive("breakdown_current", "A", current, "current at which the breakdown voltage is told"),
        zero_or_more("dynamic_resistance", "Ω", resistance, "slope resistance beyond it", spread=0.5),
        positive(
            "breakdown_slope", "V", slope, "voltage over which the current grows e-fold below it", spread=0.3
        ),
    )


_CURRENT, _CURRENT_RATING = rating("current_rating", "A", "current", 1.0, "highest average direct current")
_REVERSE, _REVERSE_RATING = rating(
    "reverse_rating", "V", "ac_1-ac_2", 600.0, "highest repeated reverse voltage"
)
_POWER, _POWER_RATING = rating("power_rating", "W", "power", 1.0, "power it may turn into heat for long")
_AC, _AC_RATING = rating(
    "voltage_rating", "V", "voltage", 250.0, "highest effective alternating voltage for long"
)

BRIDGE_RECTIFIER = Kind(
    name="bridge_rectifier",
    outline=outlines.BRIDGE_RECTIFIER,
    title="bridge rectifier",
    letters=("BR", "DB", "D"),
    pins=("ac_1", "ac_2", "plus", "minus"),
    path=("plus", "minus"),
    elements=_bridge,
    parameters=(
        positive("forward_drop", "V", 0.9, "of each of the four diodes at the test current", within=0.1),
        positive("test_current", "A", 0.5, "current at which the forward drop is told"),
        positive("emission", "1", 1.8, "emission coefficient n"),
        zero_or_more("series_resistance", "Ω", 0.05, "in series with each junction"),
        signed(
            "drop_per_kelvin",
            "V/K",
            -0.002,
            "change of the forward drop with temperature",
            source="about −2 mV/K for a silicon junction, common practice, no source",
        ),
        TEMPERATURE,
        _CURRENT,
        _REVERSE,
    ),
    ratings=(replace(_CURRENT_RATING, over_time="mean"), _REVERSE_RATING),
    main_value="forward_drop",
    controls=(("ac_1", "plus"), ("ac_2", "plus")),
    says="four diodes that make direct of alternating voltage",
    source="W. Shockley, Bell System Technical Journal 28(3), 435-489, 1949, four times",
)
TWO_WAY_SUPPRESSOR = Kind(
    name="two_way_suppressor",
    outline=outlines.TWO_WAY_SUPPRESSOR,
    title="two-way transient suppressor",
    letters=("D", "TVS"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_both_ways,
    parameters=(*_clamp(6.5, 0.01, 0.2, 0.03), _POWER),
    ratings=(_POWER_RATING,),
    main_value="breakdown_voltage",
    says="takes short surges of either sign above its breakdown voltage",
    source="one breakdown junction for each sign",
)
VARISTOR = Kind(
    name="varistor",
    outline=outlines.VARISTOR,
    title="varistor",
    letters=("RV", "VR", "MOV"),
    pins=("1", "2"),
    path=("1", "2"),
    elements=_both_ways,
    parameters=(*_clamp(430.0, 0.001, 1.0, 15.0), _AC),
    ratings=(replace(_AC_RATING, over_time="effective"),),
    main_value="breakdown_voltage",
    says="a disc that clamps surges of either sign; it wears with every surge",
    source="one exponential branch for each sign; the e-fold of 15 V stands for an exponent near 28 at 430 V, common practice, "
    "no source",
)

MEMBERS = (BRIDGE_RECTIFIER, TWO_WAY_SUPPRESSOR, VARISTOR)
