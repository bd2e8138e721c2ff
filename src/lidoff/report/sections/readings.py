"""Every reading with its uncertainty beside what the circuit predicts, and what was tried."""

from __future__ import annotations

from lidoff.dossier import Analysis
from lidoff.evidence import Comparison, Fit, Measured
from lidoff.report.chapter import Chapter
from lidoff.report.charts import fits_chart
from lidoff.report.model import Block, Cell, Column, Figure, Paragraph, Row, Subheading, Table, Tone
from lidoff.report.subject import reading_cell, situation_short
from lidoff.report.words import amount, anchor, difference_words, plain_name, score

__all__ = ["FIT_TONES", "MEMBERS"]

FIT_TONES: dict[Fit, Tone] = {"agrees": "borne-out", "strained": "open", "misfit": "not-borne-out"}
"""Tone of a comparison."""


def _instrument(analysis: Analysis, measured: Measured) -> str:
    name = measured.reading.instrument
    if not name:
        return "stated by hand" if measured.stated else "no instrument named"
    return next(
        (one.title for one in analysis.dossier.instruments if one.name == name and one.title),
        plain_name(name),
    )


def _taken(analysis: Analysis, measured: Measured) -> str:
    """With what, and how, a reading was taken."""
    note = measured.reading.note
    instrument = _instrument(analysis, measured)
    return f"{instrument}. {note}" if note else instrument


def _row(analysis: Analysis, measured: Measured, comparison: Comparison | None, why: str) -> Row:
    situation = measured.reading.situation
    if comparison is not None:
        predicted = Cell(text=amount(comparison.predicted))
        apart = Cell(text=score(comparison))
        words = Cell(text=difference_words(comparison), tone=FIT_TONES[comparison.fit])
    else:
        predicted, apart = Cell(text="–"), Cell(text="–")
        words = Cell(text="not compared", note=why)
    return Row(
        cells=(
            reading_cell(measured),
            Cell(
                text=situation_short(analysis, situation) if situation else "–",
                note=_taken(analysis, measured),
            ),
            Cell(text=amount(measured.quantity)),
            predicted,
            apart,
            words,
        ),
        anchor=anchor("reading", measured.name),
    )


def _readings_table(analysis: Analysis) -> Table:
    compared = {one.reading: one for one in analysis.comparisons}
    loaded = any(one.loaded for one in analysis.comparisons)
    why = {one.measured.name: one.why for one in analysis.uncompared}
    return Table(
        caption="Readings. ± is the expanded uncertainty (k = 2); u is the standard uncertainty of the difference between "
        "prediction and reading."
        + (" Predictions include what the meter itself draws, where that is known." if loaded else ""),
        columns=(
            Column(title="Reading", share=2.0),
            Column(title="Situation and instrument", share=2.3),
            Column(title="Read", numbers=True, share=1.7),
            Column(title="Predicted", numbers=True, share=1.7),
            Column(title="Difference", numbers=True, share=1.15),
            Column(title="In words", share=1.9),
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
        place=40,
        build=_build,
        says="What was measured, with what, and how it sits with what the circuit predicts.",
    ),
)
