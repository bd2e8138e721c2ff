import numpy as np
import pytest
from scipy.stats import chi2, kstest

from lidoff.circuit import Circuit, Situation, Spreading, predict_spread
from lidoff.insight import Misfit, Seen, misfit_of, tints_of
from lidoff.insight.misfit import tinted_groups
from tests.circuit.build import circuit, resistor, supply

AS_IT_STANDS = Situation(name="as it stands")
INSTRUMENT = 2e-3  # [V]


def ladder() -> Circuit:
    return circuit(
        supply("V1", "top", 10.0),
        resistor("R1", "top", "a", 1e3),
        resistor("R2", "a", "gnd", 2e3),
        resistor("R3", "a", "b", 1e3),
        resistor("R4", "b", "gnd", 1e3),
    )


def spread() -> Spreading:
    return predict_spread(ladder(), [AS_IT_STANDS])


def seen(spreading: Spreading, net: str, off: float) -> Seen:
    slopes = spreading.of(lambda solution: solution.voltage(net)).shares[0]
    return Seen(name=net, unit="V", off=off, deviation=INSTRUMENT, slopes=slopes)


def misfit(**off: float) -> Misfit:
    spreading = spread()
    return misfit_of(spreading, [seen(spreading, net, value) for net, value in off.items()])


def test_readings_as_predicted_have_no_misfit() -> None:
    found = misfit(a=0.0, b=0.0)
    assert 0.0 == found.chi_square
    assert 1.0 == found.p_value
    assert {} == tints_of(found)


def test_one_reading_counts_over_instrument_and_tolerances() -> None:
    spreading = spread()
    uncertainty = spreading.of(lambda solution: solution.voltage("a")).uncertainty[0]
    assert misfit(a=0.3).chi_square == pytest.approx(0.3**2 / (uncertainty**2 + INSTRUMENT**2))


def test_a_common_cause_is_counted_once() -> None:
    # Both readings follow the same net, so they share every tolerance: two readings off alike are hardly worse than one.
    spreading = spread()
    both = misfit_of(spreading, [seen(spreading, "a", 0.1), seen(spreading, "a", 0.1)])
    assert both.chi_square == pytest.approx(misfit(a=0.1).chi_square, rel=0.01)


def test_two_readings_of_one_net_that_differ_are_a_misfit() -> None:
    spreading = spread()
    apart = misfit_of(spreading, [seen(spreading, "a", 0.05), seen(spreading, "a", -0.05)])
    assert apart.chi_square == pytest.approx((0.1 / (INSTRUMENT * 2**0.5)) ** 2, rel=0.01)
    assert apart.doubted


def test_chi_square_of_true_circuits_is_distributed_as_it_should() -> None:
    rng = np.random.default_rng(4)
    spreading = spread()
    plain = [seen(spreading, net, 0.0) for net in ("a", "b")]
    slopes = np.array([one.slopes for one in plain])
    values = []
    for _ in range(300):
        off = slopes @ rng.standard_normal(slopes.shape[1]) + INSTRUMENT * rng.standard_normal(2)
        values.append(misfit(a=off[0], b=off[1]).chi_square)
    assert kstest(values, chi2(2).cdf).pvalue > 0.01


def test_the_part_whose_value_is_wrong_strains_most() -> None:
    # R4 20 % above its print moves b much and a little.
    spreading = spread()
    moved = 0.2 / (0.05 / 3**0.5)  # in prior deviations
    number = spreading.parameters.index(("R4", "resistance"))
    off = {net: seen(spreading, net, 0.0).slopes[number] * moved for net in ("a", "b")}
    found = misfit(**off)
    assert "R4" == found.parts[0].reference
    assert found.parts[0].pull > 2.0
    assert "R4" in tints_of(found)


def test_the_fall_is_what_chi_square_loses_when_the_part_is_free() -> None:
    spreading = spread()
    readings = [seen(spreading, "a", 0.3), seen(spreading, "b", 0.4)]
    found = misfit_of(spreading, readings)
    number = spreading.parameters.index(("R4", "resistance"))
    strain = next(one for one in found.parts if one.reference == "R4")
    freed = []
    for one in readings:
        slopes = one.slopes.copy()
        slopes[number] *= 1e4  # a prior so wide that it holds nothing
        freed.append(Seen(name=one.name, unit="V", off=one.off, deviation=INSTRUMENT, slopes=slopes))
    assert strain.fall == pytest.approx(found.chi_square - misfit_of(spreading, freed).chi_square, rel=1e-4)


def test_a_reading_is_held_against_what_the_others_predict() -> None:
    # Leaving one out by hand: predict b from a, with the spread that is then left.
    spreading = spread()
    readings = [seen(spreading, "a", 0.02), seen(spreading, "b", -0.03)]
    found = misfit_of(spreading, readings)
    other = misfit_of(spreading, readings[:1]).knowledge
    slopes = readings[1].slopes
    deviation = np.hypot(other.deviation(slopes), INSTRUMENT)
    score = next(one.score for one in found.strains if one.reading == "b")
    assert score == pytest.approx((-0.03 - slopes @ other.moved) / deviation)


def test_the_tinted_groups_say_by_how_much() -> None:
    (first, *_) = tinted_groups(misfit(a=0.6, b=-0.6))
    assert first.caption.endswith(" σ")
    assert first.tint.startswith("#")
