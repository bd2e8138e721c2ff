"""Cut-offs, stretches in which something ran, and curves for a page."""

import numpy as np
import pytest

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs import curve_of, moment_of, running_stretches

from .build import log_of


def discharge(off: int = 100) -> str:
    rows = [f"{t},{4.2 - t / 100:.3f},{0.5 if 10 <= t < off else 0.001}" for t in range(150)]
    return "t [s],U [V],I [A]\n" + "\n".join(rows) + "\n"


def test_a_run_ends_between_its_last_row_and_the_next() -> None:
    (run,) = running_stretches(log_of(discharge()), "I")
    assert (9.5, 99.5) == (run.switched_on.at.value, run.cut_off.at.value)
    assert 90.0 == run.duration.value
    assert run.ended


def test_the_end_of_a_run_is_uncertain_by_a_row() -> None:
    (run,) = running_stretches(log_of(discharge()), "I")
    assert 0.5 / 3**0.5 == pytest.approx(run.cut_off.at.uncertainty)


def test_a_run_that_the_log_ends_in_has_not_ended() -> None:
    (run,) = running_stretches(log_of(discharge(off=200)), "I")
    assert not run.ended


def test_one_dropped_row_does_not_end_a_run() -> None:
    log = log_of("t [s],I [A]\n" + "\n".join(f"{t},{0 if t == 5 else 1}" for t in range(12)) + "\n")
    assert 1 == len(running_stretches(log, "I"))


def test_a_longer_pause_ends_a_run() -> None:
    log = log_of("t [s],I [A]\n" + "\n".join(f"{t},{0 if 5 <= t < 9 else 1}" for t in range(14)) + "\n")
    assert 2 == len(running_stretches(log, "I"))


def test_nothing_runs_in_a_log_of_noughts() -> None:
    assert () == running_stretches(log_of("t [s],I [A]\n0,0\n1,0\n2,0\n"), "I")


def test_a_level_is_passed_where_the_line_between_two_rows_passes_it() -> None:
    log = log_of(discharge())
    found = moment_of(log, log.channel("U"), 3.005, below=True)
    assert 119.5 == pytest.approx(found.value)


def test_a_spike_past_the_level_does_not_count() -> None:
    log = log_of("t [s],U [V]\n0,4\n1,2\n2,4\n3,4\n4,2\n5,2\n")
    assert 3.5 == pytest.approx(moment_of(log, log.channel("U"), 3.0, below=True).value)


def test_a_level_that_is_never_reached_is_refused() -> None:
    log = log_of(discharge())
    with pytest.raises(ImpossibleValue, match=r"U never falls below 1 V in test.csv; look at the log"):
        moment_of(log, log.channel("U"), 1.0, below=True)


def test_a_short_log_is_drawn_row_by_row_and_breaks_at_a_gap() -> None:
    log = log_of("t [s],U [V]\n0,1\n1,2\n2,3\n60,4\n61,5\n")
    curve = curve_of(log, log.channel("U"))
    assert [1.0, 2.0, 3.0, 4.0, 5.0] == pytest.approx(curve.mean[np.isfinite(curve.mean)])
    assert 1 == np.count_nonzero(np.isnan(curve.mean))


def test_a_thinned_curve_keeps_a_single_peak() -> None:
    rows = "\n".join(f"{t},{9 if t == 3333 else 1}" for t in range(10_000))
    log = log_of(f"t [s],U [V]\n{rows}\n")
    curve = curve_of(log, log.channel("U"), points=100)
    assert 100 == len(curve.times)
    assert (9.0, 1.0) == (float(np.max(curve.high)), float(np.min(curve.low)))


def test_a_curve_of_one_point_is_refused() -> None:
    log = log_of("t [s],U [V]\n0,1\n1,2\n")
    with pytest.raises(ImpossibleValue, match="ask for two at least"):
        curve_of(log, log.channel("U"), points=1)
