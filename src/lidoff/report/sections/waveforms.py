"""One period of each situation in which something changes with time."""

from __future__ import annotations

from lidoff.circuit import figures
from lidoff.dossier import Analysis
from lidoff.evidence import Curve
from lidoff.hazards import Repeating
from lidoff.quantities import Quantity, format_quantity
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Figure, Item, Items, Paragraph, Subheading
from lidoff.report.subject import situation_title
from lidoff.report.waveform_chart import shown_curves, waveform_chart
from lidoff.report.words import anchor, heading, joined, sentence

__all__ = ["MEMBERS", "curve_words", "period_words"]

OPENING = (
    "Solved with every part at its nominal value, whatever was read; the limits of parts move these curves, and what was left "
    "out of the circuit is missing here too."
)


def curve_words(curve: Curve) -> str:
    """Lowest, highest and effective value of a curve."""
    told = figures(curve.times, curve.mean)
    low, high, rms = (
        format_quantity(Quantity(value, curve.unit), digits=3)
        for value in (told.lowest, told.highest, told.rms)
    )
    return f"{curve.name}: {low} to {high}, effective {rms}"


def period_words(curve: Curve) -> str:
    """How long a curve is."""
    return format_quantity(Quantity(float(curve.times[-1] - curve.times[0]), "s"), digits=3)


def _build(analysis: Analysis) -> tuple[Block, ...]:
    blocks: list[Block] = []
    for one in analysis.repeating:
        blocks.extend(_one(analysis, one))
    return (Paragraph(text=OPENING), *blocks) if blocks else ()


def _one(analysis: Analysis, one: Repeating) -> tuple[Block, ...]:
    title = heading(situation_title(analysis, one.situation.name))
    head = Subheading(title=title, anchor=anchor("waveforms", one.situation.name))
    if one.waveforms is None:
        return (head, Paragraph(text=sentence(f"no waveform was found: {one.why}")))
    curves = shown_curves(one.waveforms)
    if not curves:
        return ()
    names = joined([curve.name for curve in curves])
    also = joined([situation_title(analysis, name) for name in one.stands_for])
    told = f"One period of {period_words(curves[0])}" + (f"; the same supplies feed: {also}" if also else "")
    return (
        head,
        Paragraph(text=sentence(told)),
        Figure(
            name=anchor("waveform-chart", one.situation.name),
            caption=f"{title}: one period of {names}.",
            alt=f"Chart of {names} over {period_words(curves[0])}",
            picture=waveform_chart(curves),
        ),
        Items(
            entries=(Item(title="In figures", lines=tuple(sentence(curve_words(curve)) for curve in curves)),)
        ),
    )


MEMBERS = (
    Chapter(
        name="waveforms",
        title="Waveforms",
        place=78,
        build=_build,
        says="One period of each situation in which something changes with time: supplies, stores, light.",
    ),
)
