"""One clear error on the terminal: what is wrong, where, and what to do."""

from __future__ import annotations

from lidoff.cli.terminal import cut, plain
from lidoff.errors import LidoffError

__all__ = ["error_text"]

MOST_SHOWN = 20


def error_text(error: LidoffError) -> str:
    """Text of an error for a terminal; several faults of one file are listed and numbered.

    Parameters
    ----------
    error : LidoffError
        The error to tell.

    Returns
    -------
    str
        Lines without a line end after the last.
    """
    lines = [f"error: {_told(error.what)}", *_place_and_remedy(error.where, error.remedy)]
    for number, fault in enumerate(error.faults[:MOST_SHOWN], start=1):
        head = f"{number:3}. "
        where = "" if fault.where == error.where else fault.where
        below = _place_and_remedy(where, "" if fault.remedy == error.remedy else fault.remedy)
        lines += [head + _told(fault.what), *(" " * (len(head) - 2) + line for line in below)]
    if len(error.faults) > MOST_SHOWN:
        lines.append(f"     … and {len(error.faults) - MOST_SHOWN} more")
    return "\n".join(lines)


def _place_and_remedy(where: str, remedy: str) -> list[str]:
    lines = []
    if where:
        lines.append(f"  where:      {_told(where)}")
    if remedy:
        lines.append(f"  what to do: {_told(remedy)}")
    return lines


def _told(text: str) -> str:
    return plain(cut(text))
