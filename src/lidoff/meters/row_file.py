"""A table that grows row by row and is never half written for longer than one row."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from lidoff.errors import ImpossibleValue, OutputRefused

__all__ = ["RowFile", "row_file"]


class RowFile:
    """The file, row by row on the disk."""

    def __init__(self, file: Path, descriptor: int) -> None:
        self._file = file
        self._descriptor = descriptor

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


def row_file(file: Path, headings: Sequence[str], *, resume: bool) -> RowFile:
    """File with its headings, ready for rows.

    Parameters
    ----------
    file : Path
        Where it is to lie.
    headings : sequence of str
        Of the columns.
    resume : bool
        Whether rows are put behind those that it holds already.

    Returns
    -------
    RowFile
        Open; to be closed by a ``with``.

    Raises
    ------
    ImpossibleValue
        The file holds other columns.
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
    try:
        if there:
            content = file.read_text(encoding="utf-8")
            if content.split("\n", 1)[0] != head:
                raise ImpossibleValue(
                    f"the file holds another record, headed {content.split(chr(10), 1)[0]!r}",
                    where=str(file),
                    remedy=f"name another file, or ask for the same columns ({head!r})",
                )
        descriptor = os.open(file, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o644)
    except (OSError, UnicodeDecodeError) as error:
        raise OutputRefused(
            f"the record cannot be written ({getattr(error, 'strerror', None) or error})",
            where=str(file),
            remedy="name another place",
        ) from None
    out = RowFile(file, descriptor)
    if not there:
        out.write([head])
    elif not content.endswith("\n"):
        out.write([""])  # what was cut short by a crash keeps its line for itself
    return out
