"""A small part of what ``docs/accuracy.md`` measures, so that a fall is seen at once."""

from __future__ import annotations

from benchmarks.accuracy_slips import alarm, told, trial

CUPBOARD_LIGHT = 14


def test_a_slip_made_on_purpose_is_among_the_first_three() -> None:
    found = trial(CUPBOARD_LIGHT)
    assert found.gadget == "cupboard light"
    assert 0 < found.place <= 3
    assert found.probability > 0.05
    assert "1 slips made on purpose" in told([found], [alarm(CUPBOARD_LIGHT)])


def test_nothing_is_believed_where_nothing_is_wrong() -> None:
    found = alarm(CUPBOARD_LIGHT)
    assert found.probability < 0.5
    assert found.no_slip > 0.5
    assert "0 of 1 devices" in told([trial(CUPBOARD_LIGHT)], [found])
