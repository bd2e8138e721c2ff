"""What a meter or logger wrote over time, a still a log."""

from __future__ import annotations

from functools import partial

from lidoff.dossier import log_summaries
from lidoff.evidence import LogSummary, time_words
from lidoff.report.logchart import log_svg
from lidoff.report.logwords import sum_words
from lidoff.report.paint import STILL_LIGHT, lines_of, text
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.stage import BODY, Room, Stage, nested
from lidoff.report.words import heading, joined, plain_name, sentence, typeset

__all__ = ["MEMBERS"]

MOST_LINES = 2
"""Lines of sums under a chart."""


def _build(story: Story) -> tuple[Still, ...]:
    dossier = story.analysis.dossier
    summaries = log_summaries(dossier.logs, dossier.instruments)
    titles = {entry.name: entry.title or plain_name(entry.name) for entry in dossier.logs}
    return tuple(
        _still(name, titles[name], summary)
        for name, summary in summaries.items()
        if log_svg(summary, STILL_LIGHT) is not None
    )


def _still(name: str, title: str, summary: LogSummary) -> Still:
    sums = tuple(sum_words(one) for one in summary.sums)
    channels = joined([one.channel.name for one in summary.channels])
    return Still(
        name=f"log-{name}",
        caption=heading(title),
        alt=sentence(f"{channels} over {time_words(summary.log.duration)}: {'; '.join(sums)}"),
        paint=partial(_paint, summary, sums),
        aside="± is the expanded uncertainty, k = 2",
    )


def _paint(summary: LogSummary, sums: tuple[str, ...], stage: Stage, caption: str) -> str:
    room, paint = stage.room(caption), stage.paint
    drawn = log_svg(summary, paint, narrow=stage.shape == "tall")
    assert drawn is not None  # else there is no such still
    said = [one for told in sums for one in lines_of(typeset(told), room.width, BODY, most=2)][:MOST_LINES]
    space = 62.0 * len(said)
    inner = Room(left=room.left, top=room.top, right=room.right, bottom=room.bottom - space)
    words = [
        text(one, room.left, room.bottom - space + 52.0 + 54.0 * number, colour=paint.ink, size=BODY)
        for number, one in enumerate(said)
    ]
    return nested(drawn[0], inner, drawn[1], drawn[2]) + "".join(words)


MEMBERS = (
    Scene(
        name="log",
        place=80,
        build=_build,
        says="Each log as a chart over time, with its charge and energy.",
        needs="no log with numbers",
    ),
)
