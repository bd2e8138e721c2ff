"""Logs in a dossier: found beside it, read as told, readings taken from them, and every fault told with its key."""

from pathlib import Path

import pytest

from lidoff.dossier import analyse, dossier_from_text, load_dossier, save_dossier
from lidoff.errors import DossierError
from tests.dossier.build import lamp_text

RUN = b"time [s];U [V];I [mA]\n0;4,0;500\n1800;3,5;500\n3600;3,0;500\n"
LOGGED = """
[logs.run]
file = "logs/run.csv"
instrument = "meter"

[readings.drawn]
quantity = "charge drawn"
situation = "lit"
from_log = { log = "run", take = "charge", channels = ["I"] }
"""


def folder(path: Path, text: str, **logs: bytes) -> Path:
    (path / "logs").mkdir()
    (path / "dossier.toml").write_text(text, encoding="utf-8")
    for name, content in logs.items():
        (path / "logs" / f"{name}.csv").write_bytes(content)
    return path


def with_current() -> tuple[str, str]:
    """Change of the lamp that lets its meter measure currents."""
    return (
        "[readings.led]",
        '[[instruments.meter.ranges]]\nmeasures = "current dc"\nup_to = "6 A"\nresolution = "1 mA"\n'
        'accuracy = "±1 %"\n\n[readings.led]',
    )


def test_a_reading_is_taken_from_a_log_beside_the_dossier(tmp_path: Path) -> None:
    dossier = load_dossier(folder(tmp_path, lamp_text(with_current(), more=LOGGED), run=RUN))
    drawn = next(one for one in analyse(dossier).readings if one.name == "drawn")
    assert drawn.quantity.unit == "Ah"
    assert drawn.quantity.value == pytest.approx(0.5)
    # 1 % of 0.5 Ah as limits, by the square root of three; JCGM 100:2008, 4.3.7.
    assert drawn.accuracy == pytest.approx(0.005 / 3**0.5)


def test_what_is_saved_loads_as_it_was_logs_included(tmp_path: Path) -> None:
    first = load_dossier(folder(tmp_path, lamp_text(with_current(), more=LOGGED), run=RUN))
    save_dossier(first, tmp_path)
    assert first == load_dossier(tmp_path)


def test_a_log_that_is_not_there_is_told_with_its_key(tmp_path: Path) -> None:
    with pytest.raises(DossierError, match=r"logs\.run\.file: there is no file logs/run\.csv; copy the log"):
        load_dossier(folder(tmp_path, lamp_text(with_current(), more=LOGGED)))


def test_a_channel_that_is_not_there_is_told_with_the_reading(tmp_path: Path) -> None:
    text = lamp_text(with_current(), more=LOGGED.replace('"I"', '"J"'))
    with pytest.raises(
        DossierError, match=r"readings\.drawn\.from_log: the log logs/run\.csv has no channel 'J'"
    ):
        load_dossier(folder(tmp_path, text, run=RUN))


def test_a_log_outside_of_its_folder_is_refused() -> None:
    text = lamp_text(with_current(), more=LOGGED.replace("logs/run.csv", "logs/../run.csv"))
    with pytest.raises(DossierError, match=r"the log 'logs/\.\./run\.csv' does not lie in logs/"):
        dossier_from_text(text)


def test_a_link_that_leads_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "away.csv").write_bytes(RUN)
    (tmp_path / "device").mkdir()
    inside = folder(tmp_path / "device", lamp_text(with_current(), more=LOGGED))
    (inside / "logs" / "run.csv").symlink_to(tmp_path / "away.csv")
    with pytest.raises(DossierError, match=r"logs/run\.csv: the log is a link that leads out of the folder"):
        load_dossier(inside)


def test_a_log_that_is_not_known_is_told_with_the_nearest(tmp_path: Path) -> None:
    text = lamp_text(with_current(), more=LOGGED.replace('log = "run"', 'log = "runn"'))
    with pytest.raises(
        DossierError, match=r"readings\.drawn\.from_log: there is no log 'runn'; did you mean 'run'\?"
    ):
        load_dossier(folder(tmp_path, text, run=RUN))


def test_a_text_alone_does_not_miss_the_files_of_its_logs() -> None:
    dossier = dossier_from_text(lamp_text(with_current(), more=LOGGED))
    assert [entry.name for entry in dossier.logs] == ["run"]


def test_a_reading_whose_log_is_not_there_is_a_finding_and_no_number() -> None:
    analysis = analyse(dossier_from_text(lamp_text(with_current(), more=LOGGED)))
    assert "drawn" not in [one.name for one in analysis.readings]
    (finding,) = [one for one in analysis.findings if one.name == "reading not taken"]
    assert "The reading drawn could not be taken: there is no log 'run'" in finding.what


def test_a_gap_in_a_log_is_told_to_the_reader(tmp_path: Path) -> None:
    rows = "".join(f"{second};0,5\n" for second in [*range(100), *range(500, 600)])
    log = b"time [s];I [A]\n" + rows.encode()
    analysis = analyse(load_dossier(folder(tmp_path, lamp_text(with_current(), more=LOGGED), run=log)))
    (finding,) = [one for one in analysis.findings if one.name == "log with faults"]
    assert "1 gap, the longest" in finding.what
    assert finding.severity == "note"
