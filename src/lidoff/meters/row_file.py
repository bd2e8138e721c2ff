"""A table that grows row by row and is never half written for longer than one row."""

from __future__ import annotations

import os
from collections.abc import Sequence
from itertools import takewhile
from pathlib import Path

from lidoff.errors import ImpossibleValue, OutputRefused

__all__ = ["RowFile", "row_file"]

_METER, _NAMELESS = "meter: ", "without a name"
LONGEST = 200
"""Characters of a meter's name that are kept."""


class RowFile:
    """The file, row by row on the disk.

    Attributes
    ----------
    dropped : str
        What stood behind its last whole line, as a crash leaves it.
    """

    def __init__(self, file: Path, descriptor: int, dropped: str = "") -> None:
        self._file = file
        self._descriptor = descriptor
        self.dropped = dropped

    def write(self, cells: Sequence[str]) -> None:
        """One row, on the disk before this returns."""
        data = (",".join(cells) + "\n").encode()
        try:
            while data:
                data = data[os.write(self._descriptor, data) :]
            os.fsync(self._descriptor)
        except OSError as error:
            raise OutputRefused(
                f"the record cannot be written ({error.strerror or error})",
                where=str(self._file),
                remedy="make room on the disk; the rows before are there, and --resume goes on behind them",
            ) from None

    def __enter__(self) -> RowFile:
        return self

    def __exit__(self, *_: object) -> None:
        os.close(self._descriptor)


def row_file(file: Path, headings: Sequence[str], *, meters: Sequence[str] = (), resume: bool) -> RowFile:
    """File with its headings, ready for rows.

    Parameters
    ----------
    file : Path
        Where it is to lie.
    headings : sequence of str
        Of the columns.
    meters : sequence of str
        What each meter calls itself, kept above the headings; empty for one that does not tell.
    resume : bool
        Whether rows are put behind those that it holds already.

    Returns
    -------
    RowFile
        Open; to be closed by a ``with``.

    Raises
    ------
    ImpossibleValue
        The file holds other columns, or what other meters told.
    OutputRefused
        It is there already, or cannot be written.
    """
    head = ",".join(headings)
    there = file.exists()
    if there and not resume:
        raise OutputRefused(
            "the file is there already",
            where=str(file),
            remedy="name another, or add --resume to go on in it",
        )
    whole, dropped = b"", ""
    try:
        if there:
            whole, _, torn = file.read_bytes().rpartition(b"\n")
            _check_same(whole.decode() if whole else "", file, head, meters)
            dropped = torn.decode(errors="replace")
        descriptor = os.open(file, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o644)
        if dropped:
            os.ftruncate(descriptor, len(whole) + 1)
    except (OSError, UnicodeDecodeError) as error:
        raise OutputRefused(
            f"the record cannot be written ({getattr(error, 'strerror', None) or error})",
            where=str(file),
            remedy="name another place",
        ) from None
    out = RowFile(file, descriptor, dropped)
    if not there:
        for one in meters:
            out.write([_told_above(one)])
        out.write([head])
    return out


def _told_above(meter: str) -> str:
    """Line above the headings that tells a meter, as one quoted cell."""
    plain = "".join(sign if sign.isprintable() and sign != '"' else " " for sign in meter)
    return f'"{_METER}{plain[:LONGEST].strip() or _NAMELESS}"'


def _check_same(content: str, file: Path, head: str, meters: Sequence[str]) -> None:
    """Refuse a file of other columns, or of other meters where both the file and they tell who they are."""
    lines = content.split("\n")
    above = list(takewhile(lambda line: line.startswith(f'"{_METER}'), lines))
    first = lines[len(above)] if len(above) < len(lines) else ""
    if first != head:
        raise ImpossibleValue(
            f"the file holds another record, headed {first!r}",
            where=str(file),
            remedy=f"name another file, or ask for the same columns ({head!r})",
        )
    for was, now in zip(above, map(_told_above, meters), strict=False):
        if was != now and _told_above("") not in (was, now):
            raise ImpossibleValue(
                f"the file holds the record of another meter: {was[1 + len(_METER) : -1]}, and now answers "
                f"{now[1 + len(_METER) : -1]}",
                where=str(file),
                remedy="connect the meter that the record began with, or name another file",
            )
