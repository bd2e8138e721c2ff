"""A log as a page draws it."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

from lidoff.bench.models import Closed
from lidoff.bench.trouble import Trouble, trouble_of
from lidoff.errors import LidoffError

if TYPE_CHECKING:
    from lidoff.dossier import Dossier
    from lidoff.evidence import LogSummary

__all__ = ["LogColumn", "LogOffer", "LogTold", "log_told"]


class LogColumn(Closed):
    """One channel of a log, or its time."""

    name: str
    unit: str
    values: list[float | None]


class LogOffer(Closed):
    """A reading that a log of the dossier offers: a name for it, what it is in words, and its row."""

    name: str
    title: str
    row: dict[str, object]


class LogTold(Closed):
    """One log, thinned for drawing; the time [s] is the first column.

    `entry` is its name in the dossier, empty where none names it; `sums` tell charge, energy and runs with what they take for
    granted, `remarks` how the file was read.
    """

    columns: list[LogColumn]
    rows: int
    remarks: list[str]
    spans: str
    sums: list[str]
    entry: str
    offers: list[LogOffer]
    problem: Trouble | None = None


def log_told(content: bytes, points: int, *, path: str = "", dossier: Dossier | None = None) -> LogTold:
    """Channels of a log over time, with what ``lidoff log`` tells of it.

    Parameters
    ----------
    content : bytes
        Of the file.
    points : int
        Most instants of each channel.
    path : str, optional
        Of the file inside the dossier.
    dossier : Dossier, optional
        Whose entry of that file tells how it is to be read, and what wrote it.

    Returns
    -------
    LogTold
        With the problem in place of the channels where it cannot be read.
    """
    from lidoff.dossier import log_summaries
    from lidoff.dossier.logs import log_of
    from lidoff.evidence.logs import curve_of, read_log, summary_of
    from lidoff.report.logwords import span_words
    from lidoff.report.words import sentence

    logs = () if dossier is None else dossier.logs
    entry = next((replace(one, content=content) for one in logs if one.file == path), None)
    try:
        if entry is None or dossier is None:
            summary = summary_of(read_log(content, name=path.rpartition("/")[2]))
        else:
            log_of(entry)  # tells what stands against it
            summary = log_summaries([entry], dossier.instruments)[entry.name]
    except LidoffError as error:
        name = "" if entry is None else entry.name
        return LogTold(
            columns=[],
            rows=0,
            remarks=[],
            spans="",
            sums=[],
            entry=name,
            offers=[],
            problem=trouble_of(error),
        )
    read = summary.log
    curves = [curve_of(read, channel, points=points) for channel in read.channels]
    times = sorted({time for curve in curves for time in curve.times.tolist()})
    columns = [LogColumn(name="time", unit="s", values=_numbers(times))]
    for curve in curves:
        known = dict(zip(curve.times.tolist(), _numbers(curve.mean.tolist()), strict=True))
        columns.append(
            LogColumn(name=curve.name, unit=curve.unit, values=[known.get(time) for time in times])
        )
    return LogTold(
        columns=columns,
        rows=len(read.times),
        remarks=[sentence(f"{remark.about}: {remark}") for remark in read.remarks],
        spans=sentence(span_words(summary)),
        sums=_sums(summary),
        entry="" if entry is None else entry.name,
        offers=[] if entry is None else _offers(entry.name, summary),
    )


def _sums(summary: LogSummary) -> list[str]:
    from lidoff.report.logwords import run_words, sum_words
    from lidoff.report.words import sentence

    found = [f"Over the whole log, {sum_words(one)}" for one in summary.sums]
    for number, run in enumerate(summary.runs, start=1):
        held = "".join(f"; {sum_words(one)}" for one in run.sums)
        found.append(f"{summary.ran_by} ran, {number}: {run_words(run)}{held}")
    if summary.more_runs:
        found.append(f"And {summary.more_runs} times more")
    return [sentence(one) for one in (*found, *summary.notes)]


def _offers(name: str, summary: LogSummary) -> list[LogOffer]:
    from lidoff.dossier import readings_offered

    return [
        LogOffer(name=key, title=f"{row['quantity']} from {name}", row=dict(row))
        for key, row in readings_offered(name, summary).items()
    ]


def _numbers(values: list[float]) -> list[float | None]:
    return [value if math.isfinite(value) else None for value in values]
