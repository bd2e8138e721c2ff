"""A log as a page draws it."""

from __future__ import annotations

import math

from lidoff.bench.models import Closed
from lidoff.bench.trouble import Trouble, trouble_of
from lidoff.errors import LidoffError

__all__ = ["LogColumn", "LogTold", "log_told"]


class LogColumn(Closed):
    """One channel of a log, or its time."""

    name: str
    unit: str
    values: list[float | None]


class LogTold(Closed):
    """One log, thinned for drawing; the time [s] is the first column."""

    columns: list[LogColumn]
    rows: int
    remarks: list[str]
    problem: Trouble | None = None


def log_told(content: bytes, points: int) -> LogTold:
    """Channels of a log over time.

    Parameters
    ----------
    content : bytes
        Of the file.
    points : int
        Most instants of each channel.

    Returns
    -------
    LogTold
        With the problem in place of the channels where it cannot be read.
    """
    from lidoff.evidence.logs import curve_of, read_log

    try:
        read = read_log(content)
    except LidoffError as error:
        return LogTold(columns=[], rows=0, remarks=[], problem=trouble_of(error))
    curves = [curve_of(read, channel, points=points) for channel in read.channels]
    times = sorted({time for curve in curves for time in curve.times.tolist()})
    columns = [LogColumn(name="time", unit="s", values=_numbers(times))]
    for curve in curves:
        known = dict(zip(curve.times.tolist(), _numbers(curve.mean.tolist()), strict=True))
        columns.append(
            LogColumn(name=curve.name, unit=curve.unit, values=[known.get(time) for time in times])
        )
    return LogTold(columns=columns, rows=len(read.times), remarks=[remark.text for remark in read.remarks])


def _numbers(values: list[float]) -> list[float | None]:
    return [value if math.isfinite(value) else None for value in values]
