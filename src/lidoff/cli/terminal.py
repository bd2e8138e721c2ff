"""Text on its way to a terminal."""

from __future__ import annotations

import os
import re

__all__ = ["as_typed", "cut", "plain"]

# Control characters but for tab and line end, and marks that turn the reading direction: a dossier from elsewhere
# must not move the cursor, colour the screen or turn a line round.
_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def plain(text: str) -> str:
    r"""Text in which nothing steers the terminal.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        With a mark in place of each character that would not be seen.

    Examples
    --------
    >>> plain("R1\x1b[31m")
    'R1�[31m'
    """
    return _UNSEEN.sub("�", text)


def cut(text: str, most: int = 400) -> str:
    """Text cut to a length that still reads as a message.

    Parameters
    ----------
    text : str
        Any text.
    most : int
        Characters that are let through.

    Returns
    -------
    str
        At most that long.

    Examples
    --------
    >>> cut("a very long line", 8)
    'a very …'
    """
    return text if len(text) <= most else text[: most - 1] + "…"


def as_typed(*words: str) -> str:
    """Command line as the person would type it, for a hint.

    Parameters
    ----------
    *words : str
        What follows the program's name.

    Returns
    -------
    str
        With the name by which lidoff was called, such as ``./lidoff`` in its source folder.
    """
    import shlex

    return shlex.join([os.environ.get("LIDOFF_COMMAND") or "lidoff", *words])
