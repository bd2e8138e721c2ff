"""What must hold of every check's sums, whatever the numbers."""

import math

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from lidoff.hazards import OUTCOMES, at_least, at_most
from lidoff.hazards.checks.electrolytic_life import life_at
from lidoff.hazards.checks.insulation import required_clearance, required_creepage
from lidoff.hazards.checks.risk_group import risk_group
from lidoff.hazards.checks.track_current import track_rise, track_width
from lidoff.hazards.falling import bleeder_for, time_to_fall
from lidoff.hazards.shining import irradiance_at
from lidoff.hazards.spectra import bell, measured_spectrum
from lidoff.hazards.thermal import surface_temperature
from lidoff.hazards.weights import ACTINIC, BLUE, BRIGHTNESS, ERYTHEMA, NEAR_ULTRAVIOLET
from lidoff.quantities import Quantity

values = st.floats(min_value=1e-3, max_value=1e3)
spreads = st.floats(min_value=0.0, max_value=10.0)
volts = st.floats(min_value=1.0, max_value=999.0)


@given(values, spreads, spreads, values)
def test_more_uncertainty_never_decides_what_less_did_not(
    value: float, spread: float, more: float, limit: float
) -> None:
    for held in (at_most, at_least):
        sure = held(Quantity(value, "V", spread), Quantity(limit, "V"))
        less_sure = held(Quantity(value, "V", spread + more), Quantity(limit, "V"))
        assert less_sure in (sure, "cannot tell")


@given(values, spreads, values)
def test_an_upper_and_a_lower_limit_answer_opposite_ways(value: float, spread: float, limit: float) -> None:
    found = Quantity(value, "V", spread)
    pair = (at_most(found, Quantity(limit, "V")), at_least(found, Quantity(limit, "V")))
    assert set(pair) <= set(OUTCOMES)
    if value - 2.0 * spread > limit:
        assert pair == ("beyond the limit", "within the limit")


@given(volts, volts, st.sampled_from(["I", "II", "IIIa", "IIIb"]), st.sampled_from(["1", "2", "3"]))
def test_more_voltage_never_asks_for_less_creepage(one: float, other: float, group: str, degree: str) -> None:
    low, high = sorted((one, other))
    asked = [
        required_creepage(
            volt, surface="other", pollution_degree=degree, material_group=group, insulation=insulation
        )
        for volt in (low, high)
        for insulation in ("basic", "reinforced")
    ]
    assert asked[0] <= asked[2]
    assert asked[1] == 2.0 * asked[0]


@given(st.floats(min_value=330.0, max_value=12e3), st.floats(min_value=0.0, max_value=20e3))
def test_reinforced_insulation_and_height_never_ask_for_less_clearance(
    impulse: float, altitude: float
) -> None:
    basic = required_clearance(impulse, pollution_degree="2", insulation="basic")
    assert required_clearance(impulse, pollution_degree="2", insulation="reinforced") >= basic
    assert required_clearance(impulse, pollution_degree="2", insulation="basic", altitude=altitude) >= basic


@given(values, values, st.floats(min_value=0.05, max_value=3.1))
def test_light_falls_with_the_square_of_the_distance(power: float, distance: float, angle: float) -> None:
    near, far = irradiance_at(power, distance, angle), irradiance_at(power, 2.0 * distance, angle)
    assert math.isclose(near, 4.0 * far, rel_tol=1e-9)


@given(st.floats(min_value=200.0, max_value=800.0), st.floats(min_value=1.0, max_value=100.0))
def test_a_share_of_a_bell_lies_between_nothing_and_all_of_it(peak: float, width: float) -> None:
    spectrum = bell(peak * 1e-9, width * 1e-9)
    for action in (ACTINIC, BLUE, BRIGHTNESS, ERYTHEMA, NEAR_ULTRAVIOLET):
        assert 0.0 <= spectrum.sum(action) <= 1.0 + 1e-9


@given(
    st.lists(st.floats(min_value=0.0, max_value=10.0), min_size=5, max_size=40),
    st.sampled_from([";", ",", "\t"]),
)
def test_a_written_spectrum_is_read_back(densities: list[float], separator: str) -> None:
    rows = [f"{400 + number}{separator}{density!r}" for number, density in enumerate(densities)]
    text = "\n".join([f"nm{separator}W/m2/nm", *rows])
    assert math.isclose(
        measured_spectrum(text.encode()).sum(), float(np.trapezoid(densities)), rel_tol=1e-9, abs_tol=1e-12
    )


@given(values, st.tuples(values, values, values))
def test_a_stronger_lamp_never_falls_into_a_lower_group(
    value: float, limits: tuple[float, float, float]
) -> None:
    low, mid, high = sorted(limits)
    assert risk_group(value, (low, mid, high)) <= risk_group(2.0 * value, (low, mid, high)) <= 3


@given(st.floats(min_value=61.0, max_value=400.0), values, st.floats(min_value=1e-9, max_value=1e-3))
def test_the_largest_bleeder_takes_just_the_time_allowed(start: float, time: float, farads: float) -> None:
    ohms = bleeder_for(start, 60.0, time, farads)
    assert math.isclose(time, time_to_fall(start, 60.0, ohms, farads), rel_tol=1e-9)


@given(st.floats(min_value=0.01, max_value=20.0), st.floats(min_value=1.0, max_value=60.0))
def test_a_track_of_the_width_asked_for_warms_as_asked(current: float, rise: float) -> None:
    assert math.isclose(rise, track_rise(current, track_width(current, rise, 35e-6), 35e-6), rel_tol=1e-9)


@given(st.floats(min_value=-20.0, max_value=100.0), st.floats(min_value=0.0, max_value=30.0))
def test_a_warmer_capacitor_never_lives_longer(core: float, warmer: float) -> None:
    assert life_at(2000.0, 105.0, core + warmer) <= life_at(2000.0, 105.0, core)


@given(values, values, values, values)
def test_two_resistances_in_a_row_warm_as_their_sum(
    first: float, second: float, watts: float, room: float
) -> None:
    heat = Quantity(watts, "W")
    around = Quantity(room, "°C")
    chain = surface_temperature(around, (heat, Quantity(first, "K/W")), (heat, Quantity(second, "K/W")))
    one = surface_temperature(around, (heat, Quantity(first + second, "K/W")))
    assert math.isclose(chain.value, one.value, rel_tol=1e-9)
