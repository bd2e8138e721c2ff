"""What is to be said of a log's channels and of the lines that were passed over."""

from __future__ import annotations

import numpy as np

from lidoff.evidence.logs.log import Channel, Remark
from lidoff.evidence.logs.rows import Column, Rows

__all__ = ["about_channel", "about_passed", "time_words"]


def time_words(seconds: float) -> str:
    """A time as a clock would show it, with the digits that matter.

    Parameters
    ----------
    seconds : float
        Of the time.

    Returns
    -------
    str
        Such as ``2 h 7 min 11 s``.

    Examples
    --------
    >>> time_words(7631.0), time_words(90.0), time_words(2.5), time_words(7200.0)
    ('2 h 7 min 11 s', '1 min 30 s', '2.5 s', '2 h')
    """
    if seconds < 60.0:
        return f"{seconds:.4g} s"
    whole = round(seconds)
    days, rest = divmod(whole, 86400)
    hours, rest = divmod(rest, 3600)
    minutes, left = divmod(rest, 60)
    told = ((days, "d"), (hours, "h"), (minutes, "min"), (left, "s"))
    return " ".join(f"{number} {unit}" for number, unit in told if number)


def about_channel(channel: Channel, column: Column, numbers: int) -> list[Remark]:
    """What to say of one channel."""
    found: list[Remark] = []
    if not channel.unit:
        found.append(
            Remark(
                about="unit unknown",
                text=f"neither heading nor cells of {channel.name!r} tell its unit; if it is mA, say "
                f'--unit "{channel.name}=mA", or units = {{ "{channel.name}" = "mA" }} in a dossier',
            )
        )
    if column.overloads:
        many = "once" if column.overloads == 1 else f"in {column.overloads} rows"
        found.append(
            Remark(
                about="overload",
                text=f"{channel.name} was beyond its range {many} ({column.overload_mark!r}); sums over these rows are bridged",
                line=column.overload_line,
            )
        )
    missing = len(channel.values) - numbers - column.overloads
    if missing > 0:
        words = f", such as {column.word!r}" if column.word else ""
        found.append(Remark(about="no value", text=f"{channel.name} has no number in {missing} rows{words}"))
    if column.grouped:
        found.append(
            Remark(
                about="thousands",
                text=f"{column.grouped!r} in {channel.name} is read with its thousands parted; if that is a decimal, tell "
                "the decimal sign",
            )
        )
    below = int(np.count_nonzero(channel.values < 0.0))
    if below and channel.unit in ("V", "A", "W"):
        found.append(
            Remark(
                about="negative",
                text=f"{channel.name} is negative in {below} of {numbers} rows: current the other way, or leads swapped",
            )
        )
    return found


_PASSED = {
    "comment": "lines that begin with # were passed over",
    "cut short": "the last line is cut short and was left out",
    "heading again": "the headings come again; these lines were passed over",
    "no numbers": "lines without numbers were passed over",
    "too few cells": "rows have fewer cells than the table; what is missing counts as no value",
    "too long": "lines are too long for a row and were passed over",
    "too many cells": "rows have more cells than the table; the rest was left out",
}


def about_passed(rows: Rows) -> list[Remark]:
    """What was passed over, each sort once."""
    return [
        Remark(
            about=why,
            text=f"{_PASSED[why]} ({entry[0]}; the first: {str(entry[2])!r})",
            line=int(entry[1]),
        )
        for why, entry in rows.passed.items()
    ]
