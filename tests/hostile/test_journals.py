"""A journal that came with somebody's dossier is data: it is replayed or put aside, and leads no file out of the folder."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from lidoff.dossier.documents import mark_of
from lidoff.dossier.journal import JOURNAL
from lidoff.dossier.journal_lines import line_of
from lidoff.errors import DossierError
from tests.dossier.build import lamp_text
from tests.dossier.desks import desk_in, titled
from tests.hostile.test_readers import changed

LAMP = lamp_text()
EVIL = "taken over"


def change(revision: int, texts: dict[str, str], splices: list[object], **other: object) -> dict[str, object]:
    """One change as a journal tells it, with a mark that fits."""
    told = {"kind": "edit", "revision": revision, "title": "t", "time": "", "touches": [["device"]]}
    return {**told, "splices": splices, "mark": mark_of(texts), **other}


def base(texts: dict[str, str]) -> dict[str, object]:
    """First line of a journal."""
    return {"kind": "base", "revision": 0, "time": "", "texts": texts}


def lay(folder: Path, *lines: object) -> bytes:
    """Lay a lamp with a journal of such lines, each with a checksum that fits."""
    folder.mkdir()
    (folder / "dossier.toml").write_text(LAMP, encoding="utf-8", newline="\n")
    content = b"".join(line_of(line) for line in lines)  # type: ignore[arg-type]
    (folder / JOURNAL).write_bytes(content)
    return content


def all_under(folder: Path) -> set[str]:
    """Every file below a folder."""
    return {file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file()}


@pytest.mark.parametrize(
    "file", ["../outside.txt", "boards/../../outside.txt", "{}/outside.txt", "notes.txt", "", "boards/..json"]
)
def test_no_file_but_those_of_a_dossier_is_ever_written(tmp_path: Path, file: str) -> None:
    name = file.format(tmp_path)
    texts = {"dossier.toml": LAMP}
    lay(
        tmp_path / "lamp",
        base(texts),
        change(1, {**texts, name: EVIL}, [[name, 0, "", EVIL, False, True]]),
    )
    with desk_in(tmp_path / "lamp") as desk:
        assert {"dossier.toml": LAMP} == dict(desk.documents)
        assert 0 == desk.revision
    expected = {"lamp/dossier.toml", f"lamp/{JOURNAL}", "lamp/journal.damaged-1.jsonl"}
    assert expected == {one for one in all_under(tmp_path) if not one.endswith("lock")}


def test_a_file_that_the_first_line_names_does_not_come_back_by_an_undo(tmp_path: Path) -> None:
    lay(tmp_path / "lamp", base({"dossier.toml": LAMP, "../outside.txt": EVIL}))
    with desk_in(tmp_path / "lamp") as desk:
        assert (0, None) == (desk.revision, desk.history.next_undo)
    assert not (tmp_path / "outside.txt").exists()


def test_a_link_to_nothing_yet_does_not_lead_a_board_out(tmp_path: Path) -> None:
    name, text = "boards/main.json", "{}"
    lay(
        tmp_path / "lamp",
        base({"dossier.toml": LAMP}),
        change(1, {"dossier.toml": LAMP, name: text}, [[name, 0, "", text, False, True]]),
    )
    (tmp_path / "lamp" / "boards").mkdir()
    (tmp_path / "lamp" / name).symlink_to(tmp_path / "outside.json")
    with desk_in(tmp_path / "lamp") as desk:
        assert isinstance(desk.unsaved, DossierError)
        assert "is a link that leads out" in str(desk.unsaved)
    assert not (tmp_path / "outside.json").exists()


@pytest.mark.parametrize(
    "line",
    [
        [],
        {},
        {"kind": "edit"},
        {"kind": "base", "texts": []},
        {"kind": "base", "texts": {"dossier.toml": 1}},
        change(1, {"dossier.toml": LAMP}, [], kind="undo"),
        change(1, {"dossier.toml": LAMP}, [], kind="redo"),
        change(1, {"dossier.toml": LAMP}, [], kind="other"),
        change(1, {"dossier.toml": LAMP}, [], touches=[1]),
        change(1, {"dossier.toml": LAMP}, ["dossier.toml"]),
        change(1, {"dossier.toml": LAMP}, [["dossier.toml", -1, "", "", True, True]]),
        change(1, {"dossier.toml": LAMP}, [["dossier.toml", "0", "", "", True, True]]),
    ],
)
def test_a_line_that_no_journal_of_ours_has_puts_the_journal_aside(tmp_path: Path, line: object) -> None:
    content = lay(tmp_path / "lamp", base({"dossier.toml": LAMP}))
    body = json.dumps(line, separators=(",", ":")).encode()
    odd = line_of(line) if isinstance(line, dict) else body + b"\n"
    (tmp_path / "lamp" / JOURNAL).write_bytes(content + odd + line_of({"kind": "saved", "revision": 0}))
    with desk_in(tmp_path / "lamp") as desk:
        assert 1 == desk.edit(titled("x"), base=0, id="").revision
    assert content + odd in (tmp_path / "lamp" / "journal.damaged-1.jsonl").read_bytes()


def test_a_pipe_in_the_place_of_the_journal_is_put_aside(tmp_path: Path) -> None:
    lay(tmp_path / "lamp")
    (tmp_path / "lamp" / JOURNAL).unlink()
    os.mkfifo(tmp_path / "lamp" / JOURNAL)
    with desk_in(tmp_path / "lamp") as desk:
        assert 1 == desk.edit(titled("x"), base=0, id="").revision
    assert (tmp_path / "lamp" / "journal.damaged-1.jsonl").is_fifo()


JOURNAL_OF_TWO: list[dict[str, Any]] = [
    base({"dossier.toml": LAMP}),
    change(1, {"dossier.toml": "# a\n" + LAMP}, [["dossier.toml", 0, "", "# a\n", True, True]]),
    change(2, {"dossier.toml": LAMP}, [["dossier.toml", 0, "# a\n", "", True, True]], kind="undo", of=1),
    {"kind": "saved", "revision": 2},
]


def test_a_truth_is_no_number_of_a_change(tmp_path: Path) -> None:
    odd = change(1, {"dossier.toml": "# a\n" + LAMP}, [["dossier.toml", 0, "", "# a\n", True, True]])
    lay(tmp_path / "lamp", JOURNAL_OF_TWO[0], {**odd, "revision": True})
    with desk_in(tmp_path / "lamp") as desk:
        assert desk.revision == 0
    assert (tmp_path / "lamp" / "journal.damaged-1.jsonl").is_file()


@settings(
    max_examples=60,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(data=st.data(), at=st.integers(0, len(JOURNAL_OF_TWO) - 1))
def test_a_journal_with_one_thing_changed_is_replayed_or_put_aside(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject, at: int
) -> None:
    lines = list(JOURNAL_OF_TWO)
    odd = changed(lines[at], data.draw)
    place = tmp_path_factory.mktemp("hostile")
    lay(place / "lamp", *lines[:at], odd if isinstance(odd, dict) else {}, *lines[at + 1 :])
    with desk_in(place / "lamp") as desk:
        desk.edit(titled("x"), base=desk.revision, id="")
    assert {"lamp"} == {file.split("/")[0] for file in all_under(place)}
