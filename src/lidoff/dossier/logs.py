"""Logs of a dossier: read from ``logs/``, kept as bytes, and understood when asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from lidoff.dossier.inside import lies_inside
from lidoff.errors import DossierError, LidoffError
from lidoff.evidence import LARGEST_LOG, Log, Logged, LogHints, LogTake, read_log

__all__ = [
    "LOGS_FOLDER",
    "LogEntry",
    "log_contents",
    "log_document",
    "log_entry",
    "log_of",
    "logged_of",
    "taken_document",
    "taken_entry",
]

LOGS_FOLDER = "logs"


@dataclass(frozen=True, slots=True, kw_only=True)
class LogEntry:
    """One log, as written.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    file : str
        Path inside the folder, with ``/``.
    title, note : str
        For the reader.
    instrument : str
        What wrote it; empty if none is named.
    instruments, units : mapping of str to str
        By channel.
    columns : tuple of str
        Headings in place of those in the file.
    time, every, decimal, separator : str
        What the file leaves open, see `lidoff.evidence.LogHints`.
    content : bytes or None
        The file; None where it was not looked for. No part of comparisons: the entry is the same whatever was logged.
    """

    name: str
    file: str
    title: str = ""
    note: str = ""
    instrument: str = ""
    instruments: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    columns: tuple[str, ...] = ()
    time: str = ""
    every: str = ""
    decimal: str = ""
    separator: str = ""
    content: bytes | None = field(default=None, compare=False, repr=False)


def log_contents(folder: Path, text: str) -> Mapping[str, bytes]:
    """Files of a dossier's ``logs`` that its text names.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    text : str
        Of its ``dossier.toml``.

    Returns
    -------
    mapping of str to bytes
        By path inside the folder. Only files that lie in ``logs`` itself are looked at.

    Raises
    ------
    DossierError
        A file cannot be read, or is too large.
    """
    found: dict[str, bytes] = {}
    inside = folder / LOGS_FOLDER
    if not inside.is_dir():
        return found
    for file in sorted(inside.iterdir()):
        name = f"{LOGS_FOLDER}/{file.name}"
        if name not in text or not file.is_file():
            continue
        # A link that leads out of the folder is no log of this device.
        if not lies_inside(folder, file):
            raise DossierError(
                "the log is a link that leads out of the folder",
                where=name,
                remedy="copy the file into logs/",
            )
        size = file.stat().st_size
        if size > LARGEST_LOG:
            raise DossierError(
                f"the log has {size / 1e6:.0f} MB, and at most {LARGEST_LOG / 1e6:.0f} MB are read",
                where=name,
                remedy="cut it into parts, or keep every tenth row",
            )
        try:
            found[name] = file.read_bytes()
        except OSError as error:
            raise DossierError(
                f"the log cannot be read ({error.strerror or error})",
                where=name,
                remedy="check its permissions",
            ) from None
    return found


def log_entry(name: str, table: Mapping[str, Any], contents: Mapping[str, bytes] | None) -> LogEntry:
    """Entry of a table of the file.

    Parameters
    ----------
    name : str
        Of the log.
    table : mapping
        Of the right form.
    contents : mapping of str to bytes or None
        Files by path; None where they are not known.

    Returns
    -------
    LogEntry
        With its content, where that is known.
    """
    words = {key: value if isinstance(value, (dict, list)) else str(value) for key, value in table.items()}
    columns = tuple(words.pop("columns", ()))
    content = None if contents is None else contents.get(table["file"])
    return LogEntry(name=name, columns=columns, content=content, **words)  # type: ignore[arg-type]


def taken_entry(table: Mapping[str, Any]) -> LogTake:
    """What a reading takes from a log, from its table.

    Parameters
    ----------
    table : mapping
        Of the right form.

    Returns
    -------
    LogTake
        As written.
    """
    return LogTake(
        log=table["log"],
        take=table["take"],
        channels=tuple(table.get("channels", ())),
        starts=table.get("starts", ""),
        ends=table.get("ends", ""),
    )


def taken_document(take: LogTake) -> dict[str, object]:
    """Plain data of what a reading takes from a log.

    Parameters
    ----------
    take : LogTake
        What is taken.

    Returns
    -------
    dict
        As its file holds it.
    """
    told = {
        "log": take.log,
        "take": take.take,
        "channels": list(take.channels),
        "starts": take.starts,
        "ends": take.ends,
    }
    return {key: value for key, value in told.items() if value}


def log_document(entry: LogEntry) -> dict[str, object]:
    """Plain data of a log's entry.

    Parameters
    ----------
    entry : LogEntry
        The entry.

    Returns
    -------
    dict
        As its file holds it; what is empty is left out.
    """
    told: dict[str, object] = {
        key: getattr(entry, key)
        for key in ("file", "title", "instrument", "time", "every", "decimal", "separator", "note")
    }
    told |= {
        "instruments": dict(entry.instruments),
        "units": dict(entry.units),
        "columns": list(entry.columns),
    }
    return {key: value for key, value in told.items() if value}


def log_of(entry: LogEntry) -> Log:
    """Log of an entry.

    Parameters
    ----------
    entry : LogEntry
        With its content.

    Returns
    -------
    Log
        As the file and the entry tell it; the same object while the entry stays as it is.

    Raises
    ------
    DossierError
        The file was not found.
    ImpossibleValue, UnknownName
        It cannot be understood.
    """
    if entry.content is None:
        raise DossierError(
            f"there is no file {entry.file}",
            where=entry.name,
            remedy="copy the log into logs/, or mend its name",
        )
    return _parsed(
        entry.content,
        entry.file,
        (entry.decimal, entry.separator, entry.time, entry.every),
        entry.columns,
        tuple(entry.units.items()),
    )


@lru_cache(maxsize=16)
def _parsed(
    content: bytes,
    name: str,
    words: tuple[str, str, str, str],
    columns: tuple[str, ...],
    units: tuple[tuple[str, str], ...],
) -> Log:
    decimal, separator, time, every = words
    hints = LogHints(
        decimal=decimal, separator=separator, time=time, every=every, columns=columns, units=dict(units)
    )
    return read_log(content, name=name, hints=hints)


def logged_of(entries: Sequence[LogEntry]) -> Mapping[str, Logged]:
    """Logs that can be read, with the instruments that wrote them.

    Parameters
    ----------
    entries : sequence of LogEntry
        Of a dossier.

    Returns
    -------
    mapping of str to Logged
        By name; logs whose file is not known or cannot be understood are left out.
    """
    found: dict[str, Logged] = {}
    for entry in entries:
        try:
            log = log_of(entry)
        except LidoffError:
            continue
        found[entry.name] = Logged(log=log, instrument=entry.instrument, instruments=entry.instruments)
    return found
