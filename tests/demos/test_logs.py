"""The invented logs: the same script always gives them, and they agree with what the dossiers say."""

from __future__ import annotations

import importlib
from pathlib import Path

import pytest

from lidoff.dossier import analyse, load_dossier, log_summaries

ROOT = Path(__file__).parents[2]


def test_making_the_logs_again_changes_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(ROOT))
    assert 0 == importlib.import_module("demos.make_logs").main(["--check"])


def test_the_log_and_the_counter_of_the_load_agree() -> None:
    dossier = load_dossier(ROOT / "demos" / "crumb-vacuum")
    logged = log_summaries(dossier.logs, dossier.instruments)["discharge"].runs[0].sums[0].integral.quantity
    counted = next(one for one in analyse(dossier).readings if one.name == "cell_charge").quantity
    apart = abs(logged.value - counted.value)
    assert apart < 2.0 * (logged.uncertainty**2 + counted.uncertainty**2) ** 0.5


def test_the_cell_is_cut_off_at_three_volts() -> None:
    dossier = load_dossier(ROOT / "demos" / "crumb-vacuum")
    (run,) = log_summaries(dossier.logs, dossier.instruments)["discharge"].runs
    assert run.stretch.ended
    assert 3.0 == pytest.approx(dict(run.last)["U"].value, abs=0.02)
