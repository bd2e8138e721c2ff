"""One period of each situation in which something changes with time, a still a situation."""

from __future__ import annotations

from functools import partial

from lidoff.circuit import kind_of
from lidoff.evidence import Curve
from lidoff.report.scene import Scene, Still, Story
from lidoff.report.sections.waveforms import curve_words, period_words
from lidoff.report.stage import Stage, nested
from lidoff.report.subject import situation_title
from lidoff.report.waveform_chart import shown_curves, waveform_svg
from lidoff.report.words import heading, joined, sentence

__all__ = ["MEMBERS"]


MOST_PANELS = 3
"""Panels of one still, for its letters to be read on a phone."""


def _build(story: Story) -> tuple[Still, ...]:
    stills = []
    for one in story.analysis.repeating:
        # The supply's own curve is known to all; what it does inside is the news.
        curves = shown_curves(one.waveforms)[-MOST_PANELS:] if one.waveforms is not None else ()
        own = {
            f"voltage across {part.reference}"
            for part in story.analysis.circuit.parts
            if kind_of(part).supplies
        }
        if any(curve.name not in own for curve in curves):
            title = situation_title(story.analysis, one.situation.name)
            stills.append(
                Still(
                    name=f"waveform-{one.situation.name}",
                    caption=heading(title),
                    alt=sentence(f"one period of {joined([curve_words(curve) for curve in curves])}"),
                    paint=partial(_paint, curves),
                    aside=f"one period of {period_words(curves[0])}, solved with every part at its nominal value",
                )
            )
    return tuple(stills)


def _paint(curves: tuple[Curve, ...], stage: Stage, caption: str) -> str:
    room = stage.room(caption)
    svg, width, height = waveform_svg(curves, stage.paint, narrow=stage.shape == "tall")
    return nested(svg, room, width, height)


MEMBERS = (
    Scene(
        name="waveform",
        place=75,
        build=_build,
        says="One period of each situation in which something changes with time.",
        needs="nothing that changes with time",
    ),
)
