"""The family of hazard checks: each tells itself, no answer promises anything, limits are kept with their uncertainty."""

import re
from importlib.resources import files
from pathlib import Path

import pytest

from lidoff.circuit import Circuit
from lidoff.dossier import analyse, load_dossier
from lidoff.errors import ImpossibleValue
from lidoff.evidence import CAUTIONS
from lidoff.hazards import (
    FROM_MEMORY,
    Hazard,
    HazardCheck,
    Subject,
    all_hazard_checks,
    at_least,
    at_most,
    hazard_findings,
    limit_table,
    straight_between,
)
from lidoff.quantities import Quantity

DEMOS = Path(__file__).parents[2] / "demos"
TABLES = sorted(
    entry.name.removesuffix(".toml")
    for entry in (files("lidoff.hazards") / "tables").iterdir()
    if entry.name.endswith(".toml")
)
CHECKS = pytest.mark.parametrize("check", all_hazard_checks().values(), ids=lambda check: check.name)


@CHECKS
def test_a_check_tells_itself_in_full(check: HazardCheck) -> None:
    assert check.title
    assert check.says.endswith(".")
    assert check.source
    assert check.not_checked


@CHECKS
def test_a_check_goes_with_known_cautions(check: HazardCheck) -> None:
    assert set(check.cautions) <= set(CAUTIONS)


@CHECKS
def test_a_check_finds_nothing_in_nothing(check: HazardCheck) -> None:
    assert check.look(Subject(circuit=Circuit(parts=()))) == ()


@pytest.mark.parametrize("name", TABLES)
def test_a_table_names_its_source_and_whether_it_was_recalled(name: str) -> None:
    table = limit_table(name)
    assert len(table.source) > 5
    assert table.from_memory or table.seen


@pytest.mark.parametrize("name", TABLES)
def test_a_recalled_table_says_so_in_its_words(name: str) -> None:
    table = limit_table(name)
    assert table.from_memory is (FROM_MEMORY in table.words)


@pytest.mark.parametrize(
    ("value", "uncertainty", "outcome"),
    [(59.0, 0.4, "within the limit"), (59.9, 0.4, "cannot tell"), (61.0, 0.4, "beyond the limit")],
)
def test_an_upper_limit_is_kept_only_with_the_whole_uncertainty(
    value: float, uncertainty: float, outcome: str
) -> None:
    assert outcome == at_most(Quantity(value, "V", uncertainty), Quantity(60.0, "V"))


@pytest.mark.parametrize(
    ("value", "uncertainty", "outcome"),
    [(61.0, 0.4, "within the limit"), (60.1, 0.4, "cannot tell"), (59.0, 0.4, "beyond the limit")],
)
def test_a_lower_limit_is_kept_only_with_the_whole_uncertainty(
    value: float, uncertainty: float, outcome: str
) -> None:
    assert outcome == at_least(Quantity(value, "V", uncertainty), Quantity(60.0, "V"))


def hazard(**changes: object) -> Hazard:
    fields = {
        "check": "stored charge",
        "title": "charge on C1",
        "outcome": "beyond the limit",
        "severity": "fault",
        "what": "C1 holds 300 V",
        "source": f"a table ({FROM_MEMORY})",
    }
    return Hazard(**{**fields, **changes})  # type: ignore[arg-type]


def test_a_kept_limit_is_no_finding() -> None:
    assert hazard_findings([hazard(outcome="within the limit")]) == ()


def test_what_cannot_be_told_is_a_caution_and_not_a_fault() -> None:
    (finding,) = hazard_findings([hazard(outcome="cannot tell")])
    assert finding.severity == "caution"
    assert finding.title.startswith("Cannot tell")


def test_a_finding_says_that_its_limit_was_recalled() -> None:
    (finding,) = hazard_findings([hazard()])
    assert FROM_MEMORY in finding.source


def test_rows_of_a_table_are_joined_by_straight_lines() -> None:
    assert 2.3 == pytest.approx(straight_between(230.0, (200.0, 250.0), (2.0, 2.5), "voltage"))


def test_a_value_beyond_a_table_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="beyond the table, which ends at 250"):
        straight_between(300.0, (200.0, 250.0), (2.0, 2.5), "voltage")


@pytest.mark.parametrize("demo", ["night-light", "crumb-vacuum", "insect-lure"])
def test_no_answer_calls_a_device_by_that_word(demo: str) -> None:
    for one in analyse(load_dossier(DEMOS / demo)).hazards:
        told = " ".join((one.title, one.what, one.limit_says, *one.assumed, *one.not_checked, one.remedy))
        assert not re.search(r"\b(safe|safely|harmless)\b", told, re.IGNORECASE)
