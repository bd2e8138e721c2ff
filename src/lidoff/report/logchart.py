"""Charts of logs: every channel over one common time, its peaks kept, gaps and runs marked."""

from __future__ import annotations

from lidoff.evidence import LogSummary, curve_of
from lidoff.report.model import Picture
from lidoff.report.paint import PAGE, PAPER, STILL_LIGHT, Paint, figure_svg, text
from lidoff.report.panels import NARROW, WIDE, panels_svg

__all__ = ["log_chart", "log_file_svg", "log_svg"]


def log_chart(summary: LogSummary) -> Picture | None:
    """Chart of a log for the report.

    Parameters
    ----------
    summary : LogSummary
        The log.

    Returns
    -------
    Picture or None
        None where no channel has a number.
    """
    wide = _drawn(summary, WIDE, PAGE, ground=False)
    if wide is None:
        return None
    paper, narrow = _drawn(summary, WIDE, PAPER, ground=False), _drawn(summary, NARROW, PAGE, ground=False)
    assert paper is not None  # the same channels have numbers
    assert narrow is not None
    return Picture(wide=wide[0], paper=paper[0], narrow=narrow[0], width=WIDE, height=wide[1])


def log_svg(summary: LogSummary, paint: Paint, *, narrow: bool = False) -> tuple[str, float, float] | None:
    """Chart of a log in chosen colours, for a still.

    Parameters
    ----------
    summary : LogSummary
        The log.
    paint : Paint
        Colours.
    narrow : bool, optional
        Whether it is to stand upright.

    Returns
    -------
    (svg, width, height) or None
        With its natural size [px]; None where no channel has a number.
    """
    width = NARROW if narrow else WIDE
    drawn = _drawn(summary, width, paint, ground=False)
    return None if drawn is None else (drawn[0], width, drawn[1])


def log_file_svg(summary: LogSummary) -> str:
    """Chart of a log as a file of its own.

    Parameters
    ----------
    summary : LogSummary
        The log.

    Returns
    -------
    str
        SVG; without any channel just the words that there is none.
    """
    drawn = _drawn(summary, WIDE, STILL_LIGHT, ground=True)
    if drawn is None:
        words = text(f"{summary.log.name} holds no numbers", 24, 40, colour=STILL_LIGHT.ink)
        return figure_svg([words], WIDE, 64.0)
    return drawn[0]


def _drawn(summary: LogSummary, width: float, paint: Paint, *, ground: bool) -> tuple[str, float] | None:
    """SVG and its height."""
    curves = [
        curve_of(summary.log, one.channel, points=int(width)) for one in summary.channels if one.rows > 1
    ]
    if not curves:
        return None
    stretches = {summary.ran_by: tuple((run.stretch.start, run.stretch.end) for run in summary.runs)}
    return panels_svg(
        curves,
        (float(summary.log.times[0]), float(summary.log.times[-1])),
        width,
        paint,
        ground=ground,
        tinted=stretches,
    )
