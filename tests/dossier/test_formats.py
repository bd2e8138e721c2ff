"""Older versions of the format: read as they are, brought forward with the original kept, newer ones refused."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from lidoff.dossier import NEWEST, dossier_from_text, dossier_text, load_dossier, migrate_folder
from lidoff.dossier import migrating as migrating_module
from lidoff.dossier.formats import STEPS, forward, forward_text
from lidoff.dossier.opening import open_desk
from lidoff.errors import DossierError, EditRefused, OutputRefused
from tests.dossier.build import lamp_text
from tests.dossier.desks import desk_in, noon, titled

OLD = (Path(__file__).parent / "old_formats" / "torch-1.toml").read_bytes()
NAME = "dossier.toml"


def in_format_1(folder: Path, content: bytes = OLD) -> Path:
    """Put a dossier of format 1 into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / NAME).write_bytes(content)
    return folder


def kept(folder: Path) -> dict[str, bytes]:
    """Every file that was kept beside."""
    return {file.name: file.read_bytes() for file in sorted(folder.glob("*.format-*"))}


def test_every_version_before_the_newest_has_a_step() -> None:
    assert list(STEPS) == list(range(1, NEWEST))
    assert all(step.says for step in STEPS.values())


def test_a_dossier_of_format_1_says_the_same_as_one_of_the_newest() -> None:
    old = OLD.decode()
    new = old.replace('format = "1"', "format = 2").replace("[light.beam]", "[lights.beam]")
    assert dossier_from_text(new) == dossier_from_text(old)
    assert len(dossier_from_text(old).lights) == 1
    assert dossier_from_text(old).written_in == 1
    assert dossier_from_text(new).written_in == NEWEST


def test_the_text_is_changed_where_the_keys_stand_and_nowhere_else() -> None:
    old = OLD.decode()
    changed = [
        (before, after)
        for before, after in zip(old.splitlines(), forward_text(old, NAME).splitlines(), strict=True)
        if before != after
    ]
    assert changed == [('format = "1"', "format = 2"), ("[light.beam]", "[lights.beam]")]


def test_a_file_that_does_not_say_its_format_is_in_the_first() -> None:
    old = '# mine\n[device]\ntitle = "x"\n\n[light.a]\nparts = []\ndistance = "1 m"\n'
    assert forward(old, NAME).written_in == 1
    assert "lights" in forward(old, NAME).document
    new = forward_text(old, NAME)
    assert "# mine" in new
    assert forward(new, NAME) == forward(forward_text(new, NAME), NAME)
    assert forward(new, NAME).written_in == NEWEST


def test_what_is_new_already_is_left_alone() -> None:
    new = forward_text(OLD.decode(), NAME)
    assert forward_text(new, NAME) is new


def test_lines_of_an_old_file_are_told_as_they_stand_in_it() -> None:
    broken = OLD.decode().replace("[light.beam]", "[light.beam]\nnonsense = 1")
    line = broken.splitlines().index("nonsense = 1") + 1
    with pytest.raises(
        DossierError, match=rf"{NAME}, line {line}, light\.beam\.nonsense: a light has no key"
    ):
        dossier_from_text(broken)


@pytest.mark.parametrize(
    ("told", "words"),
    [
        (
            "format = 3",
            "the dossier is in format 3, and this lidoff reads formats up to 2; open it with a newer",
        ),
        ('format = "7"', "the dossier is in format 7"),
        ('format = "2"', "write format = 2 without quotation marks"),
        ("format = 1", "is no version of the dossier's format"),
        ("format = 0", "format = 0 is no version"),
        ("format = true", "format = True is no version"),
        ("format = 2.0", "format = 2.0 is no version"),
        ("format = [2]", r"format = \[2\] is no version"),
        ('format = "١"', "is no version"),
    ],
)
def test_a_version_that_is_not_known_is_refused_with_its_line(told: str, words: str) -> None:
    with pytest.raises(DossierError, match=words) as refused:
        dossier_from_text(f'\n{told}\n[device]\ntitle = "x"\n')
    assert refused.value.where == f"{NAME}, line 2, format"


def test_what_is_saved_is_of_the_newest_format() -> None:
    assert forward(dossier_text(dossier_from_text(OLD.decode())), NAME).written_in == NEWEST


def test_a_folder_is_brought_forward_with_the_original_kept_byte_by_byte(tmp_path: Path) -> None:
    crlf = b"\xef\xbb\xbf" + OLD.replace(b"\n", b"\r\n")  # as a text editor elsewhere may have saved it
    before = load_dossier(in_format_1(tmp_path, crlf))
    told = migrate_folder(tmp_path, noon)
    assert (
        str(told)
        == "dossier.toml was in format 1 and is now in format 2; the original is kept as dossier.format-1.toml"
    )
    assert kept(tmp_path) == {"dossier.format-1.toml": crlf}
    assert load_dossier(tmp_path) == before
    assert load_dossier(tmp_path).written_in == NEWEST
    assert migrate_folder(tmp_path, noon) is None
    assert kept(tmp_path) == {"dossier.format-1.toml": crlf}


def test_a_second_original_gets_a_name_of_its_own(tmp_path: Path) -> None:
    migrate_folder(in_format_1(tmp_path), noon)
    other = OLD + b"# changed since\n"
    told = migrate_folder(in_format_1(tmp_path, other), noon)
    assert told is not None
    assert told.kept == "dossier.format-1-2.toml"
    assert kept(tmp_path) == {"dossier.format-1.toml": OLD, "dossier.format-1-2.toml": other}


def test_a_dossier_of_a_newer_format_is_left_as_it_is(tmp_path: Path) -> None:
    new = b'format = 9\n[device]\ntitle = "x"\n'
    in_format_1(tmp_path, new)
    with pytest.raises(DossierError, match="this lidoff reads formats up to 2"):
        migrate_folder(tmp_path, noon)
    assert (tmp_path / NAME).read_bytes() == new
    assert not kept(tmp_path)


def test_a_folder_without_a_dossier_is_told(tmp_path: Path) -> None:
    with pytest.raises(DossierError, match=r"there is no dossier\.toml here"):
        migrate_folder(tmp_path, noon)


def test_the_original_that_cannot_be_kept_leaves_all_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_format_1(tmp_path)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OutputRefused, match=r"the original of dossier\.toml cannot be kept beside it"):
        migrate_folder(tmp_path, noon)
    assert (tmp_path / NAME).read_bytes() == OLD
    assert not kept(tmp_path)


# ---- the workbench


def test_the_workbench_brings_an_old_dossier_forward_and_edits_it(tmp_path: Path) -> None:
    in_format_1(tmp_path)
    with desk_in(tmp_path) as desk:
        assert desk.migrated is not None
        assert desk.migrated.was == 1
        desk.edit(titled("after"), base=0, id="a")
        desk.undo(base=1, id="b")
        assert desk.history.next_undo is None
    assert kept(tmp_path) == {"dossier.format-1.toml": OLD}
    assert (tmp_path / NAME).read_text(encoding="utf-8") == forward_text(OLD.decode(), NAME)
    with desk_in(tmp_path) as desk:
        assert desk.migrated is None
        assert desk.revision == 2


def old_journal(folder: Path, monkeypatch: pytest.MonkeyPatch) -> bytes:
    """Folder with a journal of two changes, all of format 1, as a workbench of that time left it."""
    with monkeypatch.context() as then:
        then.setattr("lidoff.dossier.desk.is_older", lambda _: False)
        with desk_in(in_format_1(folder)) as desk:
            desk.edit(titled("one"), base=0, id="a")
            desk.edit(titled("two"), base=1, id="b")
    content = (folder / NAME).read_bytes()
    assert b'"1"' in content
    assert b'"two"' in content
    return content


def test_the_journal_of_an_old_format_is_kept_beside_with_all_its_changes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    last = old_journal(tmp_path, monkeypatch)
    journal = (tmp_path / "journal.jsonl").read_bytes()
    with desk_in(tmp_path) as desk:
        assert desk.migrated is not None
        assert desk.revision == 0
        assert '"two"' in desk.documents[NAME]
    assert kept(tmp_path) == {"dossier.format-1.toml": last, "journal.format-1-1.jsonl": journal}


def test_changes_that_an_old_journal_alone_holds_are_saved_before_the_original_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    last = old_journal(tmp_path, monkeypatch)
    journal = tmp_path / "journal.jsonl"
    lines = [line for line in journal.read_bytes().splitlines(keepends=True) if b'"saved"' not in line]
    journal.write_bytes(b"".join(lines))
    (tmp_path / NAME).write_bytes(last.replace(b'"two"', b'"one"'))  # as if the end had come before saving
    assert migrate_folder(tmp_path, noon) is not None
    assert kept(tmp_path)["dossier.format-1.toml"] == last
    assert '"two"' in (tmp_path / NAME).read_text(encoding="utf-8")


def test_an_old_dossier_that_cannot_be_kept_can_be_looked_at(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> Path:
        raise OutputRefused("no room", where=str(tmp_path), remedy="make some")

    monkeypatch.setattr(migrating_module, "keep_original", full)
    with desk_in(in_format_1(tmp_path)) as desk:
        assert desk.documents[NAME] == OLD.decode()
        with pytest.raises(EditRefused, match="no room"):
            desk.edit(titled("x"), base=0, id="a")
    assert (tmp_path / NAME).read_bytes() == OLD


def test_an_old_text_put_there_by_another_program_is_brought_forward_and_can_be_undone(
    tmp_path: Path,
) -> None:
    with desk_in(tmp_path, lamp_text()) as desk:
        (tmp_path / NAME).write_bytes(OLD)
        entry = desk.look_outside()
        assert entry is not None
        assert (
            desk.documents[NAME] == forward_text(OLD.decode(), NAME) == (tmp_path / NAME).read_text("utf-8")
        )
        assert kept(tmp_path) == {"dossier.format-1.toml": OLD}
        desk.undo(base=1, id="a")
        assert desk.documents[NAME] == lamp_text()


def test_a_newer_text_put_there_by_another_program_stops_edits_and_stays(tmp_path: Path) -> None:
    with desk_in(tmp_path) as desk:
        newer = lamp_text(("format = 2", "format = 3"))
        (tmp_path / NAME).write_text(newer, encoding="utf-8")
        with pytest.raises(EditRefused, match="the dossier is in format 3"):
            desk.edit(titled("x"), base=0, id="a")
        assert (tmp_path / NAME).read_text(encoding="utf-8") == newer


@pytest.mark.parametrize("with_journal", [False, True])
@pytest.mark.parametrize("last", range(1, 9))
def test_an_end_in_the_middle_is_made_up_for_on_the_next_opening(
    tmp_path: Path, last: int, with_journal: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    in_format_1(tmp_path)
    old = old_journal(tmp_path, monkeypatch) if with_journal else OLD
    script = f"""
import os, sys
from pathlib import Path
done = 0
for name in ("fsync", "replace", "rename", "unlink"):
    def call(*given, _real=getattr(os, name), **more):
        global done
        done += 1
        if done == {last}:
            os._exit(9)
        return _real(*given, **more)
    setattr(os, name, call)
from lidoff.dossier.opening import open_desk
open_desk(Path(sys.argv[1]), lambda: "then").close()
"""
    ended = subprocess.run([sys.executable, "-c", script, str(tmp_path)], check=False, env={**os.environ})
    assert ended.returncode == 9
    desk = open_desk(tmp_path, noon)
    text = desk.documents[NAME]
    desk.close()
    assert text == forward_text(old.decode(), NAME) == (tmp_path / NAME).read_text(encoding="utf-8")
    assert kept(tmp_path)["dossier.format-1.toml"] == old
