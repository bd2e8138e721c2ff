"""Lines of a journal: a change as one line of JSON with a checksum, and back."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from lidoff.dossier.documents import Documents, Splice
from lidoff.dossier.folder_texts import may_hold_text

__all__ = ["Entry", "Kind", "checked", "entry_of", "line_of", "lines_of", "splices_of", "texts_of"]

Kind = Literal["edit", "undo", "redo", "outside"]
_KINDS = frozenset(get_args(Kind))
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
    try:
        data = json.loads(line)
    except (
        ValueError,
        RecursionError,
    ):  # anybody can reckon a checksum; it tells damage, not where a line is from
        return None
    return data if isinstance(data, dict) else None


def texts_of(data: Mapping[str, Any]) -> Documents:
    """Texts of a journal's first line.

    Parameters
    ----------
    data : mapping
        Plain data of the line.

    Returns
    -------
    mapping of str to str
        By file.

    Raises
    ------
    KeyError, TypeError, ValueError
        No journal of ours has such a line: something is missing, or a file is none that a dossier holds.
    """
    texts = data["texts"]
    if not isinstance(texts, dict):
        raise TypeError(f"{texts!r} are no texts by file")
    return {_file(file): _text(text) for file, text in texts.items()}


def splices_of(data: Mapping[str, Any]) -> tuple[Splice, ...]:
    """Splices of a line.

    Parameters
    ----------
    data : mapping
        Plain data of the line.

    Returns
    -------
    tuple of Splice
        In order.

    Raises
    ------
    KeyError, TypeError, ValueError
        As for `texts_of`.
    """
    return tuple(
        Splice(
            file=_file(file),
            at=_count(at),
            removed=_text(removed),
            put=_text(put),
            before=bool(before),
            after=bool(after),
        )
        for file, at, removed, put, before, after in data["splices"]
    )


def entry_of(data: Mapping[str, Any], at: int, length: int) -> Entry:
    """Change of a line that stands at a place of the file.

    Parameters
    ----------
    data : mapping
        Plain data of the line.
    at, length : int
        Where it stands.

    Returns
    -------
    Entry
        Without its splices.

    Raises
    ------
    KeyError, TypeError, ValueError
        As for `texts_of`.
    """
    if data["kind"] not in _KINDS:
        raise ValueError(f"a change is of no known kind: {data['kind']!r}")
    return Entry(
        revision=_count(data["revision"]),
        kind=data["kind"],
        title=_text(data["title"]),
        time=_text(data["time"]),
        id=_text(data.get("id", "")),
        page=_text(data.get("page", "")),
        of=_count(data.get("of", 0)),
        touches=tuple(tuple(map(_step, path)) for path in data.get("touches", ())),
        mark=_text(data.get("mark", "")),
        at=at,
        length=length,
    )


def _file(value: object) -> str:
    """Name of a file that a dossier may hold; any other would be written wherever it points to."""
    file = _text(value)
    if not may_hold_text(file):
        raise ValueError(f"{file!r} is no file of a dossier")
    return file


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r} is no text")
    value.encode()  # half a character, which JSON may name, could be written nowhere
    return value


def _count(value: object) -> int:
    # To Python a truth is a number; JSON tells them apart.
    if isinstance(value, bool) or not isinstance(value, int) or value < 0:
        raise ValueError(f"{value!r} is no count")
    return value


def _step(value: object) -> str | int:
    return value if isinstance(value, str) else _count(value)
