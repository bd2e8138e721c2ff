"""A log in words: what it spans, what its channels held, charge and energy, runs and cut-offs, and how it was read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from textwrap import wrap

from lidoff.evidence import ChannelSummary, LogSummary, Run, Summed, time_words
from lidoff.quantities import format_quantity
from lidoff.report.words import amount, sentence

__all__ = ["channel_title", "log_text", "run_words", "span_words", "sum_words"]

WIDTH = 100
KILOJOULES = 0.1
"""Energies from so many Wh are told in kJ as well, smaller ones in J."""
MILLIAMPERE_HOURS = (1e-3, 10.0)
"""Charges between so many Ah are told in mAh, as on batteries."""


def span_words(summary: LogSummary) -> str:
    """Rows, beginning and length of a log, without a full stop."""
    log = summary.log
    begins = f" from {log.start}" if log.start else ""
    every = time_words(log.interval)
    return f"{len(log.times)} rows{begins} over {time_words(log.duration)}, mostly every {every}"


def channel_title(one: ChannelSummary) -> str:
    """Name of a channel with what is wrong with its unit, if anything."""
    return one.channel.name if one.channel.unit else f"{one.channel.name} (unit not known)"


def sum_words(one: Summed) -> str:
    """One charge or energy, energies in joules as well.

    Parameters
    ----------
    one : Summed
        The sum.

    Returns
    -------
    str
        Such as ``Strom: 1035 mAh ± 13 mAh``.
    """
    found = one.integral.quantity
    shown_in = (
        "mAh"
        if found.unit == "Ah" and MILLIAMPERE_HOURS[0] <= abs(found.value) < MILLIAMPERE_HOURS[1]
        else ""
    )
    in_joules = "kJ" if abs(found.value) >= KILOJOULES else "J"
    joules = f" ({format_quantity(found, shown_in=in_joules)})" if found.unit == "Wh" else ""
    back = ""
    if one.integral.backward and abs(one.integral.backward) > found.uncertainty:
        back = f", of which {one.integral.backward:.4g} {found.unit} the other way"
    return f"{' × '.join(one.channels)}: {amount(found, shown_in=shown_in)}{joules}{back}"


def run_words(run: Run) -> str:
    """When a run began, how long it lasted, and how it ended.

    Parameters
    ----------
    run : Run
        The stretch.

    Returns
    -------
    str
        Without a full stop.
    """
    stretch = run.stretch
    duration = stretch.duration
    doubt = (
        f" ± {format_quantity(duration, shown_in='s').rpartition('± ')[2]}" if duration.uncertainty else ""
    )
    began = "from the first row" if stretch.start == stretch.before else f"from {time_words(stretch.start)}"
    last = ", ".join(f"{name} {amount(quantity)}" for name, quantity in run.last)
    ended = "then cut off" if stretch.ended else "until the log ends"
    return f"{began} for {time_words(duration.value)}{doubt}, {ended}{f' at {last}' if last else ''}"


def log_text(summary: LogSummary) -> str:
    """Everything of a log at a glance, for a terminal.

    Parameters
    ----------
    summary : LogSummary
        The log.

    Returns
    -------
    str
        Lines of at most 100 columns; ends without a line break.
    """
    return "\n".join(_lines(summary))


def _lines(summary: LogSummary) -> Iterator[str]:
    yield summary.log.name
    yield f"  {span_words(summary)}"
    yield ""
    yield from _table(
        ("channel", "lowest", "mean over time", "highest", "rows without a number"),
        [
            (
                channel_title(one),
                amount(one.lowest),
                amount(one.mean),
                amount(one.highest),
                str(len(summary.log.times) - one.rows),
            )
            for one in summary.channels
        ],
    )
    if summary.sums:
        yield ""
        yield "over the whole log"
        yield from (f"  {sum_words(one)}" for one in summary.sums)
    if summary.runs:
        yield ""
        yield f"{summary.ran_by} ran"
        for number, run in enumerate(summary.runs, start=1):
            yield from _wrapped(f"{number}. {run_words(run)}", "  ", "     ")
            yield from (f"     {sum_words(one)}" for one in run.sums)
        if summary.more_runs:
            yield f"  and {summary.more_runs} times more"
    if summary.notes:
        yield ""
        yield "what the sums take for granted"
        for note in summary.notes:
            yield from _wrapped(note, "  ", "  ")
    if summary.log.remarks:
        yield ""
        yield "how it was read"
        for remark in summary.log.remarks:
            yield from _wrapped(f"{remark.about}: {remark}", "  ", "    ")


def _wrapped(text: str, first: str, rest: str) -> list[str]:
    return wrap(sentence(text), WIDTH, initial_indent=first, subsequent_indent=rest)


def _table(head: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Columns set under each other, numbers to the right."""
    widths = [max(len(row[place]) for row in (head, *rows)) for place in range(len(head))]
    for row in (head, *rows):
        cells = [
            cell.ljust(width) if place == 0 else cell.rjust(width)
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield "  " + "   ".join(cells).rstrip()
