"""A small part of what ``docs/accuracy.md`` measures, so that a fall is seen at once."""

from __future__ import annotations

from benchmarks.accuracy_slips import false_alarms, told, trial
from tests.slipped.gadgets import GADGETS

BY_NAME = {one.name: one for one in GADGETS}


def test_a_slip_made_on_purpose_is_among_the_first_three() -> None:
    found = trial(BY_NAME["cupboard light"], 14)
    assert 0 < found.place <= 3
    assert found.probability > 0.05
    text = told([found], [], 4)
    assert "1 slips made on purpose" in text
    assert "0 of 4 (0%; at most 5 %)" in text


def test_nothing_is_believed_where_nothing_is_wrong() -> None:
    assert false_alarms(1, [BY_NAME["cupboard light"]]) == []
