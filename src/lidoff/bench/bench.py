"""What one running server holds: the desk with its dossier, the pages that listen, the analyses, the phone."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

from lidoff.bench.analyst import marks_of_logs
from lidoff.bench.beside import Beside
from lidoff.bench.classing import Classing
from lidoff.bench.completing import completed
from lidoff.bench.events import Events
from lidoff.bench.files import drop_unfinished, files_of, keep
from lidoff.bench.jobs import Jobs
from lidoff.bench.live import Live
from lidoff.bench.models import Acknowledged, HistoryTold, Outside, State
from lidoff.bench.phone import Phone
from lidoff.bench.pictures import Pictures
from lidoff.bench.plain_document import plain_document
from lidoff.bench.quick import View
from lidoff.bench.recording import Recordings, take_up_records
from lidoff.bench.settings import Settings
from lidoff.bench.traced_nets import TracedNets, traced_nets
from lidoff.bench.trouble import fault_of
from lidoff.dossier.board_files import board_file, board_name
from lidoff.dossier.demos import copy_demo, demos_folder
from lidoff.dossier.desk import Desk
from lidoff.dossier.documents import Documents
from lidoff.dossier.edits import Edit
from lidoff.dossier.faults import faults_of
from lidoff.dossier.formats import NEWEST
from lidoff.dossier.journal import Entry
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.opening import open_desk
from lidoff.dossier.toml_text import toml_text
from lidoff.errors import ImpossibleValue, LidoffError, UnknownName

__all__ = ["Bench", "now_text"]


def now_text() -> str:
    """Time of now, as the computer's clock tells it."""
    return datetime.now(tz=UTC).isoformat(timespec="seconds")


class Bench:
    """One running server's dossier and all that goes with it.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    settings : Settings
        Key, addresses and limits.
    clock : callable () → str
        Time of now.
    """

    def __init__(self, folder: Path, settings: Settings, clock: Callable[[], str] = now_text) -> None:
        self.settings = settings
        self.desk: Desk = open_desk(folder, clock)
        self.events = Events()
        self.live = Live(folder, self.events)
        self.jobs = Jobs(self.events, most=settings.most_jobs)
        self.beside = Beside()
        self.classing = Classing(folder)
        self.live.goes_first = self.classing.is_asked
        self.pictures = Pictures(folder)
        self.phone = Phone(settings, self.events)
        self.recordings = Recordings(folder, self.events, settings.meters_through, self.look)
        self.guard = threading.RLock()
        self.on_ready: Callable[[], None] = _nothing
        self._closing = threading.Event()
        self._logs = marks_of_logs(folder)
        self._shows: View | None = None
        self.desk.on_coming = self._foresee
        self._watch = threading.Thread(target=self._look_now_and_then, name="look", daemon=True)

    @property
    def folder(self) -> Path:
        """Folder of the dossier."""
        return self.desk.folder

    def start(self) -> None:
        """Start the work beside the requests."""
        if self.desk.why_not_writable is None:
            drop_unfinished(self.folder)
            take_up_records(self.folder)
        self.live.start()
        if self.desk.begun:
            self.live.submit(self.desk.revision, self.desk.documents)
        self._watch.start()
        self.on_ready()

    def close(self) -> None:
        """End all work and let the dossier go."""
        self._closing.set()
        self.recordings.close()
        self.events.close()
        self.jobs.close()
        self.live.close()
        self.beside.close()
        self.classing.close()
        with self.guard:
            self.desk.close()

    # ---- looking

    def state(self) -> State:
        """The whole dossier as it stands."""
        with self.guard:
            desk = self.desk
            documents = desk.documents
            document = plain_document(documents)
            undo, redo = desk.history.next_undo, desk.history.next_redo
            device = document.get("device")
            title = device.get("title", "") if isinstance(device, dict) else ""
            outside = desk.outside
            return State(
                revision=desk.revision,
                folder=desk.folder.name,
                title=str(title),
                begun=desk.begun,
                writable=desk.why_not_writable is None,
                why_not_writable=str(desk.why_not_writable or ""),
                unsaved=str(desk.unsaved or ""),
                document=document,
                boards=sorted(name for name in map(board_name, documents) if name),
                faults=[fault_of(fault) for fault in faults_of(documents)],
                outside=Outside(file=outside.where or FILE_NAME, what=outside.what, remedy=outside.remedy)
                if outside
                else None,
                history=HistoryTold(
                    can_undo=undo is not None,
                    undo_title=undo.title if undo else "",
                    can_redo=redo is not None,
                    redo_title=redo.title if redo else "",
                    length=len(desk.history.entries),
                ),
                files=files_of(desk.folder, document),
            )

    def traced(self, board: str) -> TracedNets | None:
        """Board with its nets; None where it has no file yet."""
        file = board_file(board)
        documents = self.desk.documents
        return traced_nets(documents[file], file) if file in documents else None

    def traced_or_refused(self, board: str) -> TracedNets:
        """Board with its nets; one that has no file yet is refused."""
        found = self.traced(board)
        if found is None:
            self.check_board(board)
            raise ImpossibleValue(
                f"nothing was traced on {board} yet", remedy="show a photo of a side, then find its copper"
            )
        return found

    def check_board(self, board: str) -> None:
        """Refuse a board that the dossier does not name."""
        rows = plain_document(self.desk.documents).get("boards")
        known = rows if isinstance(rows, dict) else {}
        if board not in known:
            raise UnknownName(f"there is no board {board!r}", name=board, known=known)

    def check_writable(self) -> None:
        """Refuse work that would end in writing where nothing can be written."""
        with self.guard:
            self.desk.check_writable()

    def keep_received(self, file: Path, folder: str, name: str) -> str:
        """Give a received file its place, if it is what its name tells.

        Parameters
        ----------
        file : Path
            As received.
        folder : str
            ``photos`` or ``logs``.
        name : str
            Its name to be, whose ending tells the format.

        Returns
        -------
        str
            Its path inside the dossier; another name where that one was taken.

        Raises
        ------
        PhotoRefused, ImpossibleValue
            It cannot be read as what it says.
        """
        try:
            if folder == "photos":
                picture = self.pictures.check(file, name)
                kept = keep(file, name)
                self.pictures.adopt(kept, picture)
            else:
                from lidoff.evidence.logs import read_log

                read_log(file.read_bytes())
                kept = keep(file, name)
        finally:
            file.unlink(missing_ok=True)
        return f"{folder}/{kept.name}"

    # ---- changing

    def edit(
        self, edit: Edit, *, base: int, id: str, page: str, file: str = "", shows: View | None = None
    ) -> Acknowledged:
        """Make an edit; on the disk when this returns.

        Parameters
        ----------
        edit : Edit
            What to do.
        base : int
            Revision that whoever asks has seen.
        id, page : str
            Of the request, and who asks.
        file : str
            File that came with it.
        shows : View, optional
            What whoever asks shows of the circuit: drawn while the edit goes to the disk.

        Returns
        -------
        Acknowledged
            With the state after it.
        """
        wanted = completed(edit, self)
        with self.guard:
            before, self._shows = self.desk.revision, shows
            entry = self.desk.edit(wanted, base=base, id=id, page=page)
            return self._acknowledged(entry, before, id, page, file)

    def received_before(self, id: str) -> Acknowledged | None:
        """Answer to a file that was sent once already under this id; None for a new one."""
        with self.guard:
            entry = self.desk.history.known(id)
            if entry is None:
                return None
            file = next((str(path[-1]) for path in entry.touches if path[:2] == ("dossier", "photos")), "")
            return self._acknowledged(entry, self.desk.revision, id, entry.page, file)

    def nothing_changed(self, *, id: str, page: str, file: str) -> Acknowledged:
        """Answer for a file that was taken in without an edit; readings may count on it from now on."""
        with self.guard:
            self.look()
            return Acknowledged(
                revision=self.desk.revision,
                title=f"{file} received",
                undone=None,
                page=page,
                id=id,
                touches=[],
                state=self.state(),
                file=file,
            )

    def undo(self, *, base: int, id: str, page: str, shows: View | None = None) -> Acknowledged:
        """Take the last change back."""
        with self.guard:
            before, self._shows = self.desk.revision, shows
            return self._acknowledged(self.desk.undo(base=base, id=id, page=page), before, id, page)

    def redo(self, *, base: int, id: str, page: str, shows: View | None = None) -> Acknowledged:
        """Make the change that was last undone again."""
        with self.guard:
            before, self._shows = self.desk.revision, shows
            return self._acknowledged(self.desk.redo(base=base, id=id, page=page), before, id, page)

    def begin_empty(self, title: str, *, id: str, page: str) -> Acknowledged:
        """Begin a dossier of one device, with nothing but its title."""
        if not title.strip():
            raise ImpossibleValue("a device without a name", remedy="say what is on the bench")
        text = toml_text({"format": NEWEST, "device": {"title": title.strip()}})
        return self._begin({FILE_NAME: text}, id=id, page=page)

    def begin_demo(self, name: str, *, id: str, page: str) -> Acknowledged:
        """Begin with a copy of an invented dossier; nothing that lies in the folder is written over."""
        with self.guard:
            self.desk.check_writable()
            if not self.desk.begun:
                copy_demo(demos_folder(), name, self.folder)
        return self._begin(None, id=id, page=page)

    def _begin(self, texts: Documents | None, *, id: str, page: str) -> Acknowledged:
        with self.guard:
            self.desk.begin(texts)
            self.live.submit(self.desk.revision, self.desk.documents)
            self.events.tell("changed", revision=self.desk.revision, title="begun", undone=None, page=page, by="page",
                             touches=[[]], files=[])  # fmt: skip
            return Acknowledged(
                revision=self.desk.revision,
                title="begun",
                undone=None,
                page=page,
                id=id,
                touches=[[]],
                state=self.state(),
            )

    def keep_own(self) -> State:
        """Write the workbench's own state over files that were changed outside."""
        with self.guard:
            self.desk.keep_own()
            self.events.tell("outside", outside=None)
            return self.state()

    def _acknowledged(self, entry: Entry, before: int, id: str, page: str, file: str = "") -> Acknowledged:
        undone = entry.kind if entry.kind in ("undo", "redo") else None
        for one in self.desk.history.since(before):
            self._tell(one)
        if self.desk.revision != before:
            self.live.submit(self.desk.revision, self.desk.documents)
        return Acknowledged(
            revision=entry.revision,
            title=entry.title,
            undone=undone,
            page=page,
            id=id,
            touches=[list(path) for path in entry.touches],
            state=self.state(),
            file=file,
        )

    def _tell(self, entry: Entry) -> None:
        undone = entry.kind if entry.kind in ("undo", "redo") else None
        self.events.tell(
            "changed",
            revision=entry.revision,
            title=entry.title,
            undone=undone,
            page=entry.page,
            by=told_by(entry),
            touches=[list(path) for path in entry.touches],
            files=sorted({str(path[0]) if path else "" for path in entry.touches}),
        )

    def _foresee(self, documents: Documents) -> None:
        shows, self._shows = self._shows, None
        self.live.foresee(documents, () if shows is None else (shows,))

    # ---- other programs

    def _look_now_and_then(self) -> None:
        while not self._closing.wait(self.settings.seconds_between_looks):
            self.look()

    def look(self) -> None:
        """Take in what other programs did to the folder."""
        with self.guard:
            before, outside = self.desk.revision, self.desk.outside
            try:
                self.desk.look_outside()
                logs = marks_of_logs(self.folder)
            except (LidoffError, OSError):
                return  # a share that is away for a moment; the next look finds it
            for one in self.desk.history.since(before):
                self._tell(one)
            if self.desk.revision != before or logs != self._logs:
                self._logs = logs
                self.live.submit(self.desk.revision, self.desk.documents)
            if self.desk.outside is not outside:
                now = self.desk.outside
                told = (
                    None
                    if now is None
                    else {"file": now.where or FILE_NAME, "what": now.what, "remedy": now.remedy}
                )
                self.events.tell("outside", outside=told)


def _nothing() -> None:
    """Nobody waits for the start."""


def told_by(entry: Entry) -> str:
    """Who made a change: a page, the phone, or another program."""
    if entry.kind == "outside":
        return "outside"
    return "phone" if entry.page.startswith("phone") else "page"
