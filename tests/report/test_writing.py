"""Files of a report: all there, equal on repetition, whole or not at all."""

import json
import os
from pathlib import Path

import pytest

from lidoff.errors import OutputRefused
from lidoff.report import write_report
from tests.report.build import bare, fan

FILES = [
    "report.html", "report.pdf", "schematic.svg", "netlist.txt", "analysis.json", "claims.csv", "readings.csv", "parts.csv",
    "nets.csv", "currents.csv", "sums.csv", "hazards.csv", "findings.csv",
]  # fmt: skip


def test_all_files_are_written_and_named(tmp_path: Path) -> None:
    written = write_report(fan(), tmp_path / "out")
    assert [tmp_path / "out" / name for name in FILES] == list(written)
    assert sorted(FILES) == sorted(file.name for file in (tmp_path / "out").iterdir())


def test_a_second_report_has_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one", "other"):
        write_report(fan(), tmp_path / name)
    assert [] == [
        name
        for name in FILES
        if (tmp_path / "one" / name).read_bytes() != (tmp_path / "other" / name).read_bytes()
    ]


def test_without_a_circuit_there_is_no_schematic(tmp_path: Path) -> None:
    assert "schematic.svg" not in [file.name for file in write_report(bare(), tmp_path)]


def test_the_document_for_programs_is_the_analysis(tmp_path: Path) -> None:
    write_report(fan(), tmp_path)
    document = json.loads((tmp_path / "analysis.json").read_text(encoding="utf-8"))
    assert ["motor_power", "weight", "run_time", "capacity", "leds"] == [
        one["name"] for one in document["claims"]
    ]


def test_progress_is_told_from_start_to_end(tmp_path: Path) -> None:
    told: list[tuple[str, float]] = []
    write_report(bare(), tmp_path, progress=lambda text, share: told.append((text, share)))
    shares = [share for _, share in told]
    assert (0.0, 1.0) == (shares[0], shares[-1])
    assert sorted(shares) == shares
    assert "writing report.pdf" in [text for text, _ in told]


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("here", encoding="utf-8")
    with pytest.raises(OutputRefused, match=r"report\.html cannot be written here .*name another folder"):
        write_report(bare(), tmp_path / "out")


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission_is_refused(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    with pytest.raises(OutputRefused, match="check the folder's permissions"):
        write_report(bare(), tmp_path)


def test_a_failed_write_leaves_the_old_file_and_no_scraps(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_report(bare(), tmp_path)
    before = (tmp_path / "report.html").read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device", handle)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputRefused, match="No space left on device"):
        write_report(fan(), tmp_path)
    assert before == (tmp_path / "report.html").read_bytes()
    assert [] == [file.name for file in tmp_path.iterdir() if file.name.startswith(".")]
