"""How far a long step has come, on one line that rewrites itself."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

__all__ = ["Report", "progress_line"]

Report = Callable[[str, float], None]
"""Called with the words of the step under way and the share done, from 0 to 1."""


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

    def report(step: str, share: float) -> None:
        stream.write(f"\r\x1b[K{progress_text(step, share, shutil.get_terminal_size().columns)}")
        stream.flush()

    try:
        yield report
    finally:
        stream.write("\r\x1b[K")
        stream.flush()


def progress_text(step: str, share: float, width: int) -> str:
    """One line of progress, cut to the terminal so that it never wraps and piles up.

    Parameters
    ----------
    step : str
        What is under way.
    share : float
        How much is done, from 0 to 1.
    width : int
        Columns of the terminal.

    Returns
    -------
    str
        At most one column less than the width.

    Examples
    --------
    >>> progress_text("solving the situations", 0.1, 80)
    ' 10 %  solving the situations'
    """
    text = f"{round(share * 100):3} %  {step}"
    return text if len(text) < width else text[: max(width - 2, 0)] + "…"
