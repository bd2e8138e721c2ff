"""Texts of a dossier's folder and the splices that lead from one state of them to the next and back."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from lidoff.errors import DossierError

__all__ = ["Documents", "Splice", "inverse", "mark_of", "spliced", "splices_between"]

Documents = Mapping[str, str]
"""File inside the folder, with ``/``, → its text. A file that does not exist is not in it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """One run of characters of one file, taken out and another put in its place.

    Attributes
    ----------
    file : str
        File inside the folder.
    at : int
        Number of characters before it.
    removed, put : str
        What stood there, and what stands there after.
    before, after : bool
        Whether the file exists before and after.
    """

    file: str
    at: int
    removed: str
    put: str
    before: bool = True
    after: bool = True


def splices_between(old: Documents, new: Documents) -> tuple[Splice, ...]:
    """Least splices, one a changed file, that turn one state into another.

    Parameters
    ----------
    old, new : mapping of str to str
        Two states.

    Returns
    -------
    tuple of Splice
        In the order of the files' names; empty where the states are equal.
    """
    found = []
    for file in sorted(old.keys() | new.keys()):
        first, second = old.get(file), new.get(file)
        if first == second:
            continue
        one, other = first or "", second or ""
        start = _common(one, other)
        end = _common(one[start:][::-1], other[start:][::-1])
        found.append(
            Splice(
                file=file,
                at=start,
                removed=one[start : len(one) - end],
                put=other[start : len(other) - end],
                before=first is not None,
                after=second is not None,
            )
        )
    return tuple(found)


def _common(one: str, other: str) -> int:
    """Length of the common beginning of two texts."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def spliced(documents: Documents, splices: Iterable[Splice]) -> Documents:
    """State after some splices.

    Parameters
    ----------
    documents : mapping of str to str
        The state that they were made for.
    splices : iterable of Splice
        In order.

    Returns
    -------
    mapping of str to str
        Read-only.

    Raises
    ------
    DossierError
        A splice does not fit: another text stands where it takes its own out.
    """
    texts = dict(documents)
    for one in splices:
        text = texts.get(one.file, "")
        end = one.at + len(one.removed)
        if (one.file in texts) != one.before or text[one.at : end] != one.removed:
            raise DossierError(
                f"a change of {one.file} does not fit the text that it was made for",
                where=one.file,
                remedy="the file was changed in between; look at its history",
            )
        if one.after:
            texts[one.file] = text[: one.at] + one.put + text[end:]
        else:
            del texts[one.file]
    return MappingProxyType(texts)


def inverse(splices: Iterable[Splice]) -> tuple[Splice, ...]:
    """Splices that undo others.

    Parameters
    ----------
    splices : iterable of Splice
        In the order in which they were made.

    Returns
    -------
    tuple of Splice
        In the order in which they undo.
    """
    turned = [
        replace(one, removed=one.put, put=one.removed, before=one.after, after=one.before) for one in splices
    ]
    return tuple(reversed(turned))


def mark_of(documents: Documents) -> str:
    """Short mark of a state: two states with the same mark hold the same files with the same texts.

    Parameters
    ----------
    documents : mapping of str to str
        A state.

    Returns
    -------
    str
        Hexadecimal digits, from SHA-256.
    """
    digest = hashlib.sha256()
    for file, text in sorted(documents.items()):
        for piece in (file.encode("utf-8"), text.encode("utf-8", "surrogatepass")):
            digest.update(len(piece).to_bytes(8, "big"))
            digest.update(piece)
    return digest.hexdigest()[:32]
