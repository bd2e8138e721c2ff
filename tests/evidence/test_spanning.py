"""Claims of a range of supply voltages."""

import pytest

from lidoff.evidence import BorneOut, CannotTell, ClaimResult, FromSolution, judge
from lidoff.quantities import Quantity
from tests.evidence.build import claim, measured

SOCKET = measured("socket", "231 V ± 3 V")


def unsolved(source: FromSolution) -> Quantity:
    raise AssertionError(source)


def judged(**readings: str) -> ClaimResult:
    known = {name: measured(name, shown) for name, shown in readings.items()}
    one = claim("supply_range", "230 V", tolerance="10 V", **{name: name for name in readings})
    return judge(one, known, unsolved)


def test_one_supply_voltage_bears_no_range_out() -> None:
    verdict = judged(voltage="231 V ± 3 V").verdict
    assert isinstance(verdict, CannotTell)
    assert (
        verdict.why == "it worked at 231 V ± 3 V alone, which does not reach over the whole of 220 V to 240 V"
    )


def test_what_was_seen_is_told_beside_the_claimed_range() -> None:
    assert "it worked at 231 V ± 3 V; the box says 220 V to 240 V" == judged(voltage="231 V ± 3 V").sum


def test_runs_at_both_ends_would_tell() -> None:
    verdict = judged(voltage="231 V ± 3 V").verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.needs == (
        "a run at 220 V or less and at 240 V or more, on a variable supply, for mains an isolated one with the usual cautions"
    )


def test_a_device_that_worked_beyond_both_ends_bears_the_range_out() -> None:
    result = judged(lowest="217 V ± 2 V", highest="243 V ± 2 V")
    # Three standard uncertainties beyond either end: 2·0.99865 − 1 (any table of the normal distribution)
    assert isinstance(result.verdict, BorneOut)
    assert 0.9973 == pytest.approx(result.verdict.probability, abs=1e-4)
    assert "it worked from 217 V ± 2 V to 243 V ± 2 V; the box says 220 V to 240 V" == result.sum


def test_an_end_that_was_not_reached_is_named() -> None:
    verdict = judged(lowest="217 V ± 2 V", highest="238 V ± 2 V").verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.needs.startswith("a run at 240 V or more, on a variable supply")


def test_a_range_without_upper_end_needs_none() -> None:
    one = claim("supply_range", "220 V", sense="at least", lowest="low", highest="socket")
    result = judge(one, {"low": measured("low", "217 V ± 2 V"), "socket": SOCKET}, unsolved)
    assert "says at least 220 V" in result.sum
    assert isinstance(result.verdict, BorneOut)
