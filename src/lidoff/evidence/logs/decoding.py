"""Bytes of a log → text, whatever program saved it."""

from __future__ import annotations

import codecs

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs.log import LARGEST_LOG, Remark

__all__ = ["decoded"]

_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_LOOKED_AT = 4096
"""Bytes that tell whether a file is text, and in two bytes a letter."""


def decoded(content: bytes) -> tuple[str, str, tuple[Remark, ...]]:
    """Text of a log, the name of its encoding, and what to say about it.

    Parameters
    ----------
    content : bytes
        As read from the file.

    Returns
    -------
    text : str
        Without byte order mark.
    encoding : str
        What it was read as.
    remarks : tuple of Remark
        Where that was a guess.

    Raises
    ------
    ImpossibleValue
        The bytes are too many, or no text.
    """
    if len(content) > LARGEST_LOG:
        raise ImpossibleValue(
            f"the log has {len(content) / 1e6:.0f} MB, and at most {LARGEST_LOG / 1e6:.0f} MB are read",
            remedy="cut it into parts, or keep every tenth row",
        )
    for mark, encoding in _MARKS:
        if content.startswith(mark):
            return _strictly(content[len(mark) :], encoding), encoding, ()
    head = content[:_LOOKED_AT]
    even, odd = head[0::2].count(0), head[1::2].count(0)
    if len(head) >= 8 and max(even, odd) > 0.4 * len(head) / 2 and min(even, odd) == 0:
        encoding = "utf-16-le" if odd else "utf-16-be"
        remark = Remark(about="encoding", text="read as UTF-16, though the file has no mark that says so")
        return _strictly(content, encoding), encoding, (remark,)
    odd_ones = sum(head.count(byte) for byte in range(32) if byte not in (9, 10, 12, 13, 26, 27))
    if odd_ones > 0.02 * len(head):
        raise ImpossibleValue("this is not a text file", remedy="export the log as CSV, and name that file")
    try:
        return content.decode("utf-8"), "utf-8", ()
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
    remark = Remark(
        about="encoding",
        text="not UTF-8, so read as Windows-1252; look whether µ, Ω and ° are right",
        line=line,
    )
    # Five bytes mean nothing in Windows-1252, and Latin-1 gives every byte a letter.
    try:
        return content.decode("cp1252"), "windows-1252", (remark,)
    except UnicodeDecodeError:
        return content.decode("latin-1"), "latin-1", (remark,)


def _strictly(content: bytes, encoding: str) -> str:
    try:
        return content.decode(encoding)
    except UnicodeDecodeError as error:
        raise ImpossibleValue(
            f"the file says that it is {encoding.upper()}, and byte {error.start + 1} is not",
            remedy="save the log again as UTF-8",
        ) from None
