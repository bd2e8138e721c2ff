"""Every reading with its uncertainty beside what the circuit predicts, and what was tried."""

from __future__ import annotations

from dataclasses import replace

from lidoff.dossier import Analysis
from lidoff.evidence import Comparison, Fit, Measured
from lidoff.report.chapter import Chapter
from lidoff.report.charts import fits_chart
from lidoff.report.model import Block, Cell, Column, Figure, Paragraph, Row, Subheading, Table, Tone
from lidoff.report.subject import reading_cell, situation_short
from lidoff.report.words import anchor, difference_words, plain_name, predicted_words, read_words, score

__all__ = ["FIT_TONES", "MEMBERS"]

FIT_TONES: dict[Fit, Tone] = {"agrees": "borne-out", "strained": "open", "misfit": "not-borne-out"}
"""Tone of a comparison."""


def _instrument(measured: Measured) -> str:
    """Short name of an instrument; the chapter on sources tells what it is."""
    taken = measured.reading.taken
    if taken is not None:
        return f"log {plain_name(taken.log)}"
    return plain_name(measured.reading.instrument) or (
        "stated by hand" if measured.stated else "no instrument named"
    )


def _noted(measured: Measured) -> Cell:
    """Reading with what it is of, how it was taken where the analyst says so, and what speaks against it."""
    cell = reading_cell(measured)
    doubts = f"Not to be relied on: {'; '.join(measured.doubts)}" if measured.doubts else ""
    return replace(cell, note=". ".join(filter(None, (cell.note, measured.reading.note.rstrip("."), doubts))))


def _row(analysis: Analysis, measured: Measured, comparison: Comparison | None, why: str) -> Row:
    situation = measured.reading.situation
    if comparison is not None:
        predicted = Cell(text=predicted_words(comparison), note=comparison.seen)
        fit, _, apart = difference_words(comparison).partition(": ")
        words = Cell(text=f"{score(comparison)}, {fit}", note=apart, tone=FIT_TONES[comparison.fit])
    else:
        predicted = Cell(text="–")
        words = Cell(text="not compared", note=why)
    return Row(
        cells=(
            _noted(measured),
            Cell(
                text=situation_short(analysis, situation) if situation else "–",
                note=_instrument(measured),
            ),
            Cell(text=read_words(measured)),
            predicted,
            words,
        ),
        anchor=anchor("reading", measured.name),
    )


def _readings_table(analysis: Analysis) -> Table:
    compared = {one.reading: one for one in analysis.comparisons}
    loaded = any(one.loaded for one in analysis.comparisons)
    why = {one.measured.name: one.why for one in analysis.uncompared}
    return Table(
        caption="Readings. ± is the expanded uncertainty (k = 2, more after few repeats); u is the standard uncertainty of "
        "the difference between prediction and reading."
        + (" Predictions include what the meter itself draws, where that is known." if loaded else ""),
        columns=(
            Column(title="Reading", share=2.9),
            Column(title="Situation and instrument", share=1.6),
            Column(title="Read", numbers=True, share=1.7),
            Column(title="Predicted", numbers=True, share=1.7),
            Column(title="Difference", share=2.1),
        ),
        rows=tuple(
            _row(analysis, one, compared.get(one.name), why.get(one.name, "not a quantity of the circuit"))
            for one in analysis.readings
        ),
    )


def _trials(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.dossier.trials:
        return ()
    rows = tuple(
        Row(
            cells=(
                Cell(
                    text=trial.what,
                    note=situation_short(analysis, trial.situation) if trial.situation else "",
                ),
                Cell(text=trial.duration or "–"),
                Cell(text=trial.seen),
            )
        )
        for trial in analysis.dossier.trials
    )
    columns = (
        Column(title="Tried", share=2.0),
        Column(title="For how long"),
        Column(title="Seen", share=2.4),
    )
    return (
        Subheading(title="What was tried"),
        Table(caption="Trials: what was done with the device and what was seen.", columns=columns, rows=rows),
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.readings:
        none = Paragraph(text="The dossier holds no readings, so nothing was compared.")
        return (none, *_trials(analysis))
    blocks: list[Block] = []
    chart = fits_chart(analysis.comparisons)
    if chart is not None:
        alt = "; ".join(f"{plain_name(one.reading)} {score(one)}, {one.fit}" for one in analysis.comparisons)
        blocks.append(
            Figure(
                name="fits-chart",
                caption="Prediction minus reading, in standard uncertainties u of that difference. Inside the tinted "
                "band (±2 u) they agree; beyond ±3 u something is not as recorded.",
                alt=f"Chart of differences between prediction and reading: {alt}.",
                picture=chart,
            )
        )
    return (*blocks, _readings_table(analysis), *_trials(analysis))


MEMBERS = (
    Chapter(
        name="readings",
        title="Readings",
        place=70,
        build=_build,
        says="What was measured, with what, and how it sits with what the circuit predicts.",
    ),
)
