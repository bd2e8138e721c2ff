"""Data to take away: tables, the netlist, a tester's file of a traced board, and the dossier as an archive."""

import csv
import io
import zipfile
from pathlib import Path

import pytest

from lidoff.board import board_from_layout
from lidoff.report import (
    claims_csv,
    dossier_zip,
    findings_csv,
    hazards_csv,
    ipc_d_356,
    netlist_text,
    sums_csv,
    write_report,
)
from tests.report.boards import small_layout, write_board
from tests.report.build import BARE, FAN, bare, fan, hostile

TABLES = (claims_csv, findings_csv, hazards_csv, sums_csv)


def records() -> list[str]:
    return ipc_d_356(board_from_layout(small_layout(), "main"), title="Two resistors").splitlines()


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("of", [fan, hostile, bare])
def test_every_row_is_as_wide_as_its_head(table: object, of: object) -> None:
    rows = list(csv.reader(io.StringIO(table(of()))))  # type: ignore[operator]
    assert {len(row) for row in rows} == {len(rows[0])}


@pytest.mark.parametrize("table", TABLES)
def test_no_cell_is_taken_for_a_formula(table: object) -> None:
    cells = [cell for row in csv.reader(io.StringIO(table(hostile()))) for cell in row]  # type: ignore[operator]
    assert [] == [cell for cell in cells if cell[:1] in ("=", "@", "\t", "\r")]


def test_every_claim_is_told_with_its_limits_and_its_probability() -> None:
    rows = {row["claim"]: row for row in csv.DictReader(io.StringIO(claims_csv(fan())))}
    motor = rows["motor_power"]
    assert ("10 W", "W", "10", "not borne out") == (
        motor["printed"],
        motor["unit"],
        motor["low"],
        motor["verdict"],
    )
    assert float(motor["probability_true"]) < 0.001


def test_every_sum_of_every_block_is_told() -> None:
    rows = list(csv.DictReader(io.StringIO(sums_csv(fan()))))
    assert sum(len(block.sums) for block in fan().blocks) == len(rows)


def test_the_plain_netlist_holds_every_pin_once() -> None:
    told = netlist_text(fan()).split()
    pins = [f"{part.reference}.{pin}" for part in fan().circuit.parts for pin in part.pins]
    assert sorted(pins) == sorted(word for word in told if word in set(pins))
    assert [] == [line for line in netlist_text(fan()).splitlines() if len(line) > 100]


def test_a_dossier_without_a_circuit_has_an_empty_netlist() -> None:
    assert "" == netlist_text(bare())


def test_no_record_is_longer_than_a_card() -> None:
    assert max(len(record) for record in records()) <= 80


def test_a_record_has_each_field_in_its_columns() -> None:
    # IPC-D-356A, columns from memory: code 1-3, net 4-17, reference 21-26, dash 27, pin 28-31, access 39-41, place 42-57.
    record = next(one for one in records() if one.startswith("327plus"))
    assert ("327", "plus", "R1", "-", "1", "A01", "X+004000Y+005000") == (
        record[0:3],
        record[3:17].rstrip(),
        record[20:26].rstrip(),
        record[26],
        record[27:31].rstrip(),
        record[38:41],
        record[41:57],
    )


def test_the_back_is_reached_from_the_other_side() -> None:
    record = next(one for one in records() if "R2" in one)
    assert "A02" == record[38:41]


def test_a_plated_hole_joins_the_net_of_both_sides() -> None:
    (record,) = [one for one in records() if one.startswith("317")]
    assert ("tap", "VIA", "D0600P", "A00") == (
        record[3:17].rstrip(),
        record[20:26].rstrip(),
        record[32:38],
        record[38:41],
    )


def test_long_and_foreign_net_names_stand_under_an_alias() -> None:
    from dataclasses import replace

    layout = small_layout()
    long = "the rail behind the charger"
    pads = tuple(replace(pad, net=long if pad.net == "plus" else pad.net) for pad in layout.pads)
    told = ipc_d_356(board_from_layout(replace(layout, pads=pads), "main"))
    assert "P  NNAME1   the_rail_behind_the_charger" in told
    assert "327NNAME1 " in told


def test_a_testers_file_ends_as_the_format_asks() -> None:
    assert ("P  JOB   main", "999") == (records()[1], records()[-1])


def test_an_archive_holds_what_was_put_in_and_nothing_made_from_it(tmp_path: Path) -> None:
    root = tmp_path / "fan"
    write_board(root)
    (root / "dossier.toml").write_text(FAN, encoding="utf-8")
    (root / "out").mkdir()
    (root / "out" / "report.html").write_text("made", encoding="utf-8")
    (root / ".journal").write_text("hidden", encoding="utf-8")
    (root / "link").symlink_to(tmp_path)
    names = zipfile.ZipFile(io.BytesIO(dossier_zip(root))).namelist()
    assert ["fan/boards/main.json", "fan/dossier.toml", "fan/photos/front.png"] == names


def test_the_same_dossier_gives_the_same_archive(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text(BARE, encoding="utf-8")
    first = dossier_zip(tmp_path)
    (tmp_path / "dossier.toml").touch()
    assert first == dossier_zip(tmp_path / "dossier.toml")


def test_an_archive_is_written_where_it_is_asked_for(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text(BARE, encoding="utf-8")
    files = write_report(bare(), tmp_path / "out", dossier_folder=tmp_path, archive=True)
    assert "dossier.zip" == files[-1].name


def test_a_traced_board_has_a_testers_file(tmp_path: Path) -> None:
    write_board(tmp_path)
    files = write_report(fan(), tmp_path / "out", dossier_folder=tmp_path)
    assert "board-main.ipc" in [file.name for file in files]
