"""Disks that are full or break, shares that come and go: nothing acknowledged is lost, and all else is told in words."""

from __future__ import annotations

import errno
import itertools
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from lidoff.dossier import (
    dossier_from_text,
    load_dossier,
    save_dossier,
    start_dossier,
    write_whole,
)
from lidoff.dossier.desk import Desk
from lidoff.dossier.journal import JOURNAL
from lidoff.dossier.migrating import keep_original
from lidoff.dossier.opening import open_desk
from lidoff.errors import EditRefused, LidoffError, OutputRefused
from tests.dossier.build import lamp_text
from tests.dossier.desks import desk_in, noon, titled
from tests.dossier.failing import Share, every_call, failing

ERRORS = {"full": errno.ENOSPC, "broken": errno.EIO, "stale": errno.ESTALE, "read-only": errno.EROFS}
LEAST = 12
"""Calls that any of these at least makes; a harness that catches fewer has lost its grip."""


def title_of(text: str) -> str:
    return dossier_from_text(text).device.title


class Session:
    """One folder, with what was acknowledged in it."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.acknowledged: list[str] = []
        self.asked: list[str] = []
        self.refusals: list[LidoffError] = []

    def edit(self, desk: Desk, title: str) -> bool:
        """Ask for an edit; whether it was acknowledged."""
        self.asked.append(title)
        try:
            desk.edit(titled(title), base=desk.revision, id=title)
        except LidoffError as error:
            self.refusals.append(error)
            return False
        self.acknowledged.append(title)
        return True

    def check(self) -> None:
        """Open the folder again: all that was acknowledged is there in its order, and the file holds the last of it."""
        assert all(error.what and error.remedy for error in self.refusals)
        with desk_in(self.folder) as desk:
            ids = [entry.id for entry in desk.history.entries if entry.id]
            assert [one for one in ids if one in self.acknowledged] == self.acknowledged
            assert set(ids) <= set(self.asked)
            told = title_of((self.folder / "dossier.toml").read_text(encoding="utf-8"))
            assert told == (ids[-1] if ids else "lamp")
            assert desk.unsaved is None
            assert desk.outside is None
        assert not list(self.folder.rglob("*.part"))


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize("name", ERRORS)
def test_an_edit_survives_the_failure_of_any_call(tmp_path: Path, name: str, lasting: bool) -> None:
    numbers = itertools.count()
    sessions: list[Session] = []

    def run(share: Share) -> None:
        session = Session(tmp_path / str(next(numbers)))
        sessions.append(session)
        share.armed = False
        with failing(share), desk_in(session.folder) as desk:  # the journal is one of its files
            assert session.edit(desk, "before")
            share.armed = True
            session.edit(desk, "meanwhile")
            session.edit(desk, "once more")
            share.armed = False
            session.edit(desk, "after")
            assert session.edit(desk, "at the end")

    seen = [share.failed for share in every_call(run, error=ERRORS[name], lasting=lasting)]

    assert len(seen) >= LEAST
    assert {"fsync", "write", "replace", "stat"} <= set(seen)
    for session in sessions:
        session.check()


@pytest.mark.parametrize("name", ERRORS)
def test_opening_survives_the_failure_of_any_call(tmp_path: Path, name: str) -> None:
    session = Session(tmp_path / "folder")
    with desk_in(session.folder) as desk:
        assert session.edit(desk, "one")
        assert session.edit(desk, "two")
    titles = itertools.count()

    def run(share: Share) -> None:
        desk = None
        with failing(share):
            try:
                desk = open_desk(session.folder, noon)
            except LidoffError as error:
                session.refusals.append(error)
        if desk is not None:
            session.edit(desk, f"t{next(titles)}")
            desk.close()
        session.check()

    assert len(list(every_call(run, error=ERRORS[name], lasting=False))) >= LEAST


@pytest.mark.parametrize("name", ERRORS)
def test_an_old_dossier_survives_the_failure_of_any_call_while_it_is_brought_forward(
    tmp_path: Path, name: str
) -> None:
    old = lamp_text(("format = 2", 'format = "1"')).encode()
    numbers = itertools.count()

    def run(share: Share) -> None:
        folder = tmp_path / str(next(numbers))
        folder.mkdir()
        (folder / "dossier.toml").write_bytes(old)
        with failing(share), suppress(LidoffError):
            open_desk(folder, noon).close()
        with desk_in(folder) as desk:
            assert desk.documents["dossier.toml"] == lamp_text()
        assert (folder / "dossier.format-1.toml").read_bytes() == old

    assert len(list(every_call(run, error=ERRORS[name], lasting=False))) >= LEAST


@pytest.mark.parametrize("lasting", [False, True], ids=["once", "from then on"])
@pytest.mark.parametrize("name", ERRORS)
def test_a_file_is_the_old_or_the_new_one_whichever_call_fails(
    tmp_path: Path, name: str, lasting: bool
) -> None:
    file = tmp_path / "file.toml"

    def run(share: Share) -> None:
        file.write_text("old", encoding="utf-8")
        told = True
        with failing(share):
            try:
                write_whole(file, "new")
            except OutputRefused:
                told = False
        content = file.read_text(encoding="utf-8")
        assert content in ("old", "new")
        assert content == "new" or not told
        if not lasting:  # a disk that is gone for good does not let us tidy up
            assert [one.name for one in tmp_path.iterdir()] == ["file.toml"]
        for left in tmp_path.glob(".*"):
            left.unlink()

    assert len(list(every_call(run, error=ERRORS[name], lasting=lasting))) >= 5


@pytest.mark.parametrize("name", ERRORS)
def test_whatever_else_writes_says_in_words_that_it_could_not(tmp_path: Path, name: str) -> None:
    lamp = dossier_from_text(lamp_text())
    numbers = itertools.count()
    start_dossier(tmp_path / "begun")  # what it begins with comes from the package, and is read once

    def run(share: Share) -> None:
        folder = tmp_path / str(next(numbers))
        folder.mkdir()
        (folder / "kept.toml").write_text("mine", encoding="utf-8")
        works = (
            lambda: save_dossier(lamp, folder / "saved"),
            lambda: start_dossier(folder / "begun"),
            lambda: load_dossier(folder / "saved"),
            lambda: keep_original(folder / "kept.toml", "format-1"),
        )
        with failing(share):
            for work in works:
                with suppress(LidoffError):
                    work()
        for copy in folder.glob("kept.format-*"):
            assert copy.read_text(encoding="utf-8") == "mine"

    assert len(list(every_call(run, error=ERRORS[name], lasting=False))) >= LEAST


def test_a_slow_share_only_takes_its_time(tmp_path: Path) -> None:
    session = Session(tmp_path / "folder")
    with desk_in(session.folder) as desk, failing(Share(delay=0.01)) as share:
        assert all(session.edit(desk, f"t{number}") for number in range(3))
    assert share.calls > 3 * LEAST
    session.check()


# ---- the system's own limits


LIMITED = """
import resource, sys
from pathlib import Path
from lidoff.dossier.edits import Set
from lidoff.dossier.opening import open_desk
from lidoff.errors import LidoffError
desk = open_desk(Path(sys.argv[1]), lambda: "then")
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
for number in range(12):
    title = f"t{number}-" + "x" * 400
    try:
        desk.edit(Set(path=("device", "title"), value=title), base=desk.revision, id=title)
    except LidoffError as error:
        assert error.what, error
        print("refused", title, flush=True)
    else:
        print("done", title, flush=True)
"""


@pytest.mark.parametrize("room", [0, 100, 1000, 1600, 2600, 4000, 6000])
def test_files_that_may_grow_no_more_refuse_edits_and_lose_none(tmp_path: Path, room: int) -> None:
    session = Session(tmp_path)
    (tmp_path / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    told = subprocess.run(
        [sys.executable, "-c", LIMITED, str(tmp_path), str(room)], capture_output=True, text=True, check=True
    )
    for line in told.stdout.splitlines():
        word, title = line.split()
        session.asked.append(title)
        if word == "done":
            session.acknowledged.append(title)
    assert len(session.asked) == 12
    assert len(session.acknowledged) < 12
    session.check()


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 128 kB of its own, where the tests may have one."""
    place = tmp_path / "disk"
    place.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=128k", "tmpfs", str(place)], capture_output=True, check=False
    )
    if made.returncode:
        pytest.skip("no disk may be mounted here")
    yield place
    subprocess.run(["umount", "--lazy", str(place)], check=True)


def test_a_real_disk_fills_up_and_is_emptied_again(small_disk: Path) -> None:
    session = Session(small_disk / "folder")
    with desk_in(session.folder) as desk:
        number = 0
        while session.edit(desk, f"t{number}-" + "y" * 3000):
            number += 1
            assert number < 100
        assert desk.revision == number > 5
        filler = small_disk / "filler"
        with suppress(OSError), filler.open("wb", buffering=0) as stream:
            while stream.write(b"z" * 4096):
                pass
        assert not session.edit(desk, "too much " + "z" * 9000)
        filler.unlink()
        for journal in small_disk.glob("*/journal.jsonl"):
            assert journal.stat().st_size > 10_000
    subprocess.run(["mount", "-o", "remount,size=1m", str(small_disk)], check=True)
    session.check()


# ---- two processes, clocks


HOLDER = """
import sys, time
from pathlib import Path
from lidoff.dossier.opening import open_desk
desk = open_desk(Path(sys.argv[1]), lambda: "then")
print("held", flush=True)
time.sleep(600)
"""


def test_a_second_process_is_kept_out_until_the_first_has_ended_however_it_ends(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(tmp_path)], stdout=subprocess.PIPE, text=True
    ) as first:
        assert first.stdout is not None
        assert first.stdout.readline() == "held\n"
        with pytest.raises(EditRefused, match=rf"open in another workbench \(process {first.pid}\)"):
            open_desk(tmp_path, noon)
        first.send_signal(signal.SIGKILL)
    with desk_in(tmp_path) as desk:
        assert desk.edit(titled("mine now"), base=0, id="a").revision == 1


def test_a_change_from_outside_at_the_very_same_time_and_of_the_same_size_is_not_written_over(
    tmp_path: Path,
) -> None:
    file = tmp_path / "dossier.toml"
    with desk_in(tmp_path) as desk:
        desk.edit(titled("abcd"), base=0, id="a")
        was = file.stat()
        with file.open(
            "r+", encoding="utf-8", newline=""
        ) as stream:  # the same file on the disk, its clock set back
            text = stream.read()
            stream.seek(0)
            stream.write(text.replace("150 Ω", "180 Ω"))
        os.utime(file, ns=(was.st_atime_ns, was.st_mtime_ns))
        assert (file.stat().st_size, file.stat().st_mtime_ns) == (was.st_size, was.st_mtime_ns)
        with suppress(EditRefused):
            desk.edit(titled("efgh"), base=1, id="b")
        assert "180 Ω" in "".join(one.read_text(encoding="utf-8") for one in tmp_path.glob("dossier*.toml"))


def test_clocks_that_jump_change_nothing(tmp_path: Path) -> None:
    times = itertools.cycle(
        ["2030-01-01T00:00:00", "1970-01-01T00:00:00", "2999-12-31T23:59:59", "no clock at all"]
    )
    session = Session(tmp_path)
    (tmp_path / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    desk = open_desk(tmp_path, lambda: next(times))
    for number, jump in enumerate([0.0, 4e9, 1.0, 2e9]):
        assert session.edit(desk, f"t{number}")
        for file in (tmp_path / "dossier.toml", tmp_path / JOURNAL):
            os.utime(file, (jump, jump))
    desk.close()
    session.check()
