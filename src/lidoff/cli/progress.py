"""How far a long step has come, on one line that rewrites itself."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

__all__ = ["Report", "progress_line"]

Report = Callable[[str, int, int], None]
"""Called with the words of the step under way, how many are done, and of how many."""


@contextmanager
def progress_line(stream: TextIO | None = None) -> Iterator[Report | None]:
    """Show progress while the block runs, and leave no trace of it.

    Parameters
    ----------
    stream : text stream, optional
        Where to show it; standard error if not given.

    Yields
    ------
    Report or None
        What to call with each step; None where nobody watches: the stream is not a terminal.
    """
    stream = sys.stderr if stream is None else stream
    if not stream.isatty():
        yield None
        return

    def report(step: str, done: int, total: int) -> None:
        stream.write(f"\r\x1b[K{progress_text(step, done, total, shutil.get_terminal_size().columns)}")
        stream.flush()

    try:
        yield report
    finally:
        stream.write("\r\x1b[K")
        stream.flush()


def progress_text(step: str, done: int, total: int, width: int) -> str:
    """One line of progress, cut to the terminal so that it never wraps and piles up.

    Parameters
    ----------
    step : str
        What is under way.
    done, total : int
        How many steps are done, and of how many.
    width : int
        Columns of the terminal.

    Returns
    -------
    str
        At most one column less than the width.

    Examples
    --------
    >>> progress_text("solving idle", 3, 12, 80)
    '3 of 12 · solving idle'
    """
    text = f"{done} of {total} · {step}"
    return text if len(text) < width else text[: max(width - 2, 0)] + "…"
