"""The invented readings: the same script always gives them, and one hidden cause a demo lies beyond what is written."""

from __future__ import annotations

import importlib
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest

from lidoff.circuit import Spread, kind_of
from lidoff.dossier import circuit_of, load_dossier

ROOT = Path(__file__).parents[2]
SLACK = 1.02
"""Hidden values may lie slightly outside the limits written down."""

HIDDEN = {
    "crumb-vacuum": {"W4.resistance"},
    "insect-lure": {"LED11.anode"},
    "night-light": {"C1.capacitance", "V1.resistance"},  # V1 stands for C1
}


@pytest.fixture
def from_demos(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], ModuleType]:
    """Import of a module of the folder ``demos``, which is no part of the package."""
    monkeypatch.syspath_prepend(str(ROOT))
    return lambda name: importlib.import_module(f"demos.{name}")


def test_making_the_readings_again_changes_nothing(from_demos: Callable[[str], ModuleType]) -> None:
    assert 0 == from_demos("make_readings").main(["--check"])


def test_only_the_line_of_a_reading_is_replaced(from_demos: Callable[[str], ModuleType]) -> None:
    before = '# kept\n[readings.a]\nshown = "1 V"\nnote = "n"\n\n[readings.b]\nvoltage = "x"\nshown = ["1 V", "2 V"]  \n'
    after = from_demos("make_readings").with_readings(before, {"b": ("3 V", "4 V"), "a": ("5 V",)})
    assert (
        '# kept\n[readings.a]\nshown = "5 V"\nnote = "n"\n\n[readings.b]\nvoltage = "x"\nshown = ["3 V", "4 V"]\n'
        == after
    )


def test_a_reading_without_a_line_to_replace_is_refused(from_demos: Callable[[str], ModuleType]) -> None:
    text = '[readings.a]\nnote = "n"\n\n[readings.b]\nshown = "1 V"\n'
    with pytest.raises(ValueError, match=r"no line to replace under \[readings\.a\]"):
        from_demos("make_readings").with_readings(text, {"a": ("5 V",)})


@pytest.mark.parametrize("name", sorted(HIDDEN))
def test_the_hidden_cause_alone_lies_beyond_the_written_limits(
    name: str, from_demos: Callable[[str], ModuleType]
) -> None:
    truth = from_demos(f"truth.{name.replace('-', '_')}").TRUTH
    circuit = circuit_of(load_dossier(ROOT / "demos" / name))
    beyond = {f"{reference}.{pin}" for reference, pin in truth.rewired}
    for (reference, parameter), value in truth.values.items():
        part = circuit.part(reference)
        known = kind_of(part).parameters_of(part)[parameter]
        written = part.values.get(parameter, known.typical)
        assert written is not None
        nominal = float(written)
        limits: Spread = part.spreads.get(parameter, known.spread)
        if abs(value - nominal) > SLACK * limits.limits(nominal):
            beyond.add(f"{reference}.{parameter}")
    assert HIDDEN[name] == beyond
