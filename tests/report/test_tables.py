"""Tables for spreadsheets: every number with its unit, no text that would run as a formula."""

import csv
import io
from collections.abc import Callable

import pytest

from lidoff.dossier import Analysis
from lidoff.report import nets_csv, parts_csv, readings_csv
from lidoff.report.tables import told_words
from tests.report.build import bare, fan, hostile


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def test_every_reading_stands_with_its_prediction() -> None:
    found = {row["reading"]: row for row in rows(readings_csv(fan()))}
    ballast = found["led_2_ballast"]
    assert ("0.421", "V", "misfit") == (ballast["value"], ballast["unit"], ballast["fit"])
    assert 9.9 == pytest.approx(float(ballast["difference_in_u"]), abs=0.05)
    assert "" == found["weight"]["predicted"]


def test_uncertainties_are_expanded() -> None:
    voltage = next(row for row in rows(readings_csv(fan())) if row["reading"] == "battery_voltage")
    assert 0.03 == pytest.approx(float(voltage["plus_minus"]))


def test_every_part_stands_with_its_pins_and_highest_load() -> None:
    resistor = next(row for row in rows(parts_csv(fan())) if row["part"] == "R1")
    assert ("1:light 2:led_1", "power_rating", "told") == (
        resistor["pins"],
        resistor["rating"],
        resistor["rating_is"],
    )
    load, limit, share = (float(resistor[name]) for name in ("load", "limit", "share_of_rating"))
    assert share == pytest.approx(load / limit)


def test_every_net_stands_in_every_situation() -> None:
    found = rows(nets_csv(fan()))
    assert len(fan().circuit.nets) * 3 == len(found)
    gate = next(row for row in found if (row["net"], row["situation"]) == ("gate", "running"))
    assert "Q1.gate R5.2 R6.1" == gate["pins"]
    assert 3.85 == pytest.approx(float(gate["voltage"]), abs=0.01)


@pytest.mark.parametrize("made", [readings_csv, parts_csv, nets_csv])
def test_an_empty_dossier_gives_the_heading_alone(made: Callable[[Analysis], str]) -> None:
    assert 1 == made(bare()).count("\r\n")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("=1+1", "'=1+1"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("+cmd|' /C calc'!A0", "'+cmd|' /C calc'!A0"),
        ("-2+3", "'-2+3"),
        ("+5V", "+5V"),
        ("-12.5", "-12.5"),
        ("R1", "R1"),
    ],
)
def test_no_text_runs_as_a_formula(text: str, expected: str) -> None:
    assert expected == told_words(text)


def test_a_hostile_name_is_held_as_text() -> None:
    assert "'= cmd" in [row["reading"] for row in rows(readings_csv(hostile()))]
