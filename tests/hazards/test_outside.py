"""A check of another package takes part by an entry point."""

import importlib.metadata
from collections.abc import Iterator
from types import SimpleNamespace

import pytest

from lidoff.circuit import Circuit
from lidoff.hazards import Hazard, HazardCheck, Subject, all_hazard_checks, look_for_hazards


def loud(subject: Subject) -> tuple[Hazard, ...]:
    return (
        Hazard(
            check="loudness",
            title=f"loudness of {len(subject.circuit.parts)} parts",
            outcome="cannot tell",
            severity="note",
            what="Nobody listened.",
        ),
    )


@pytest.fixture
def installed(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    check = HazardCheck(
        name="loudness",
        title="Loudness",
        look=loud,
        says="How loud it is.",
        source="by ear",
        not_checked=("music",),
    )
    point = SimpleNamespace(name="loud", value="outside.loud", load=lambda: SimpleNamespace(MEMBERS=(check,)))
    monkeypatch.setattr(
        importlib.metadata,
        "entry_points",
        lambda group: [point] if group == "lidoff.hazards.checks" else [],
    )
    all_hazard_checks.cache_clear()
    yield
    monkeypatch.undo()
    all_hazard_checks.cache_clear()


@pytest.mark.usefixtures("installed")
def test_a_check_from_outside_is_run_with_what_it_never_covers() -> None:
    (found,) = look_for_hazards(Subject(circuit=Circuit(parts=())))
    assert ("loudness", ("music",)) == (found.check, found.not_checked)
