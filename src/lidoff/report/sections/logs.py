"""Every log as a chart, with charge, energy and runs, and how it was read."""

from __future__ import annotations

from lidoff.dossier import Analysis, log_summaries
from lidoff.evidence import time_words
from lidoff.report.chapter import Chapter
from lidoff.report.logchart import log_chart
from lidoff.report.logwords import run_words, span_words, sum_words
from lidoff.report.model import Block, Figure, Item, Items, Paragraph, Subheading
from lidoff.report.words import anchor, joined, plain_name, sentence

__all__ = ["MEMBERS"]


def _build(analysis: Analysis) -> tuple[Block, ...]:
    dossier = analysis.dossier
    summaries = log_summaries(dossier.logs, dossier.instruments)
    blocks: list[Block] = []
    for entry in dossier.logs:
        if entry.name not in summaries:
            continue
        summary = summaries[entry.name]
        title = entry.title or plain_name(entry.name)
        blocks.append(Subheading(title=title, anchor=anchor("log", entry.name)))
        told = sentence(span_words(summary))
        blocks.append(Paragraph(text=f"{told} {sentence(entry.note)}" if entry.note else told))
        picture = log_chart(summary)
        if picture is not None:
            tinted = f"; the tinted stretch is when {summary.ran_by} ran" if summary.runs else ""
            channels = joined([one.channel.name for one in summary.channels])
            blocks.append(
                Figure(
                    name=anchor("log-chart", entry.name),
                    caption=f"{title}: every channel over time{tinted}.",
                    alt=f"Chart of {channels} over {time_words(summary.log.duration)}",
                    picture=picture,
                )
            )
        lines = [sentence(sum_words(one)) for one in summary.sums]
        lines += [
            sentence("; ".join((f"Ran {run_words(run)}", *(sum_words(one) for one in run.sums))))
            for run in summary.runs
        ]
        if lines:
            blocks.append(Items(entries=(Item(title="Charge, energy and runs", lines=tuple(lines)),)))
        read = tuple(sentence(str(remark)) for remark in summary.log.remarks)
        granted = tuple(sentence(note) for note in summary.notes)
        if read or granted:
            how = Item(title="How it was read, and what the sums take for granted", lines=(*read, *granted))
            blocks.append(Items(entries=(how,)))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="logs",
        title="Logs",
        place=72,
        build=_build,
        says="What meters and loggers wrote over time, as charts with charge, energy and runs.",
    ),
)
