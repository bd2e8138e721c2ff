"""Lines of a journal: a change as one line of JSON with a checksum, and back."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from lidoff.dossier.documents import Splice

__all__ = ["Entry", "Kind", "checked", "entry_of", "line_of", "lines_of", "splices_of"]

Kind = Literal["edit", "undo", "redo", "outside"]
_CHECK = b',"check":"'


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One change in the journal.

    Attributes
    ----------
    revision : int
        Number of the state after it.
    kind : str
        ``edit``, ``undo``, ``redo``, or ``outside`` for a file that was changed by another program.
    title : str
        What was done.
    time : str
        When, as the clock stood then; order comes from the revision alone.
    id, page : str
        Of the request that asked for it.
    of : int
        Revision of the change that an undo or redo is about; else 0.
    touches : tuple of tuple of str or int
    mark : str
        Mark of the state after it.
    at, length : int
        Where its line stands in the file, in bytes.
    """

    revision: int
    kind: Kind
    title: str
    time: str
    id: str = ""
    page: str = ""
    of: int = 0
    touches: tuple[tuple[str | int, ...], ...] = ()
    mark: str = ""
    at: int = 0
    length: int = 0


def lines_of(content: bytes) -> Iterator[tuple[int, bytes, bool]]:
    """Place of each line, the line, and whether it is the last."""
    at = 0
    while at < len(content):
        end = content.find(b"\n", at) + 1 or len(content)
        yield at, content[at:end], end == len(content)
        at = end


def line_of(data: Mapping[str, object]) -> bytes:
    """Line of plain data, with its checksum."""
    body = json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode("utf-8")[:-1]
    return body + _CHECK + b"%08x" % zlib.crc32(body) + b'"}\n'


def checked(line: bytes) -> dict[str, Any] | None:
    """Plain data of a line; None where it is cut short or changed."""
    body, mark, check = line.rpartition(_CHECK)
    if not mark or not line.endswith(b"\n") or check != b"%08x" % zlib.crc32(body) + b'"}\n':
        return None
    data: dict[str, Any] = json.loads(line)
    return data


def splices_of(data: Mapping[str, Any]) -> tuple[Splice, ...]:
    """Splices of a line."""
    return tuple(
        Splice(file=file, at=at, removed=removed, put=put, before=before, after=after)
        for file, at, removed, put, before, after in data["splices"]
    )


def entry_of(data: Mapping[str, Any], at: int, length: int) -> Entry:
    """Change of a line that stands at a place of the file."""
    return Entry(
        revision=int(data["revision"]),
        kind=data["kind"],
        title=str(data["title"]),
        time=str(data["time"]),
        id=str(data.get("id", "")),
        page=str(data.get("page", "")),
        of=int(data.get("of", 0)),
        touches=tuple(tuple(path) for path in data.get("touches", ())),
        mark=str(data.get("mark", "")),
        at=at,
        length=length,
    )
