"""The circuit as a schematic, with the solved voltages of one situation."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from functools import lru_cache

from lidoff.circuit import replaced_at_rest
from lidoff.dossier import (
    AC_MEANS,
    Analysis,
    SolvedFigures,
    SolvedSituation,
    changes_with_time,
    drawing_options,
    figures_drawn,
    unfixed_over,
)
from lidoff.report.chapter import Chapter
from lidoff.report.inline import schematic_picture
from lidoff.report.model import Block, Figure, Paragraph
from lidoff.report.over_period import alternates, repeating_of
from lidoff.report.subject import situation_title, title_of_kind
from lidoff.report.words import counted, joined
from lidoff.schematic import Drawing, contacts_apart, draw, stood_for, voltage_text, with_contacts

__all__ = ["MEMBERS", "drawing_of", "most_read", "schematic_figures", "with_voltages"]


def _figures_of(analysis: Analysis, result: SolvedSituation) -> SolvedFigures:
    repeating = repeating_of(analysis, result.name)
    return figures_drawn(
        analysis.circuit,
        result.situation,
        {net: quantity.value for net, quantity in result.nets.items()},
        {name: state.current.value for name, state in result.parts.items() if state.current is not None},
        None if repeating is None else repeating.waveforms,
    )


def _drawn_in_place(analysis: Analysis, result: SolvedSituation) -> str:
    """What a reader must know of voltages that alternate and of stand-ins, as sentences at the end of a caption."""
    circuit, repeating = analysis.circuit, repeating_of(analysis, result.name)
    told = [
        f"{name}, dashed, is no part: it stands for {stood_for(circuit.part(name))} on average"
        for name in replaced_at_rest(circuit, result.situation).by
    ]
    if changes_with_time(circuit, result.situation):
        told.append(
            "No voltage is written where it alternates, as no waveform was found"
            if repeating is None or repeating.waveforms is None
            else AC_MEANS
        )
    if alternates(analysis, result) and repeating is not None and repeating.waveforms is not None:
        loose = sorted(unfixed_over(repeating.waveforms))
        told.extend([f"Nothing fixes the voltage of {joined(loose)}, so none is written"] if loose else [])
    apart = contacts_apart(circuit, _layout(analysis).repeats, _figures_of(analysis, result).contacts)
    return "".join(f". {one}" for one in (*told, *([apart] if apart else [])))


def most_read(analysis: Analysis) -> SolvedSituation | None:
    """Solved situation that most readings were taken in, the first of equals; None where none was solved."""
    solved = [one for one in analysis.situations if isinstance(one, SolvedSituation)]
    if not solved:
        return None
    counts = Counter(one.measured.reading.situation for one in analysis.comparisons)
    return max(solved, key=lambda one: counts[one.name])


def drawing_of(analysis: Analysis, *, tall: bool = False) -> Drawing:
    """Drawing of the circuit with the voltages of the situation that most readings were taken in.

    Parameters
    ----------
    analysis : Analysis
        With a circuit.
    tall : bool, optional
        Whether it is laid out for a phone held upright.

    Returns
    -------
    Drawing
    """
    return with_voltages(_layout(analysis, tall), analysis, most_read(analysis))


@lru_cache(maxsize=2)  # placing parts is the slowest step of a report, and all its drawings share one layout
def _layout(analysis: Analysis, tall: bool = False) -> Drawing:
    result = most_read(analysis)
    untitled = replace(analysis.circuit, title="")  # the caption says it
    return draw(
        untitled,
        None if result is None else _figures_of(analysis, result),
        options=drawing_options(analysis.dossier, tall=tall),
    )


def with_voltages(drawing: Drawing, analysis: Analysis, result: SolvedSituation | None) -> Drawing:
    """Drawing with the voltages of another situation in the places of its own.

    Parameters
    ----------
    drawing : Drawing
        With voltages.
    analysis : Analysis
        Whose circuit it is.
    result : SolvedSituation or None
        None leaves the drawing as it is.

    Returns
    -------
    Drawing
        Nets that nothing fixes are marked with a question mark.
    """
    if result is None:
        return drawing
    figures = _figures_of(analysis, result)
    sheets = tuple(
        replace(
            sheet,
            labels=tuple(
                replace(label, text=_written(figures, label.owner)) if label.role == "voltage" else label
                for label in sheet.labels
            ),
        )
        for sheet in drawing.sheets
    )
    return replace(
        with_contacts(replace(drawing, sheets=sheets), figures.contacts),
        voltages=figures.voltages,
        currents=figures.currents,
        alternating=figures.alternations,
    )


def _written(figures: SolvedFigures, net: str) -> str:
    return voltage_text(figures.voltage(net), figures.alternating(net))


def schematic_figures(
    analysis: Analysis, result: SolvedSituation | None, *, folded: bool = False
) -> tuple[Figure, ...]:
    """Schematic with the solved voltages of a situation, a figure a sheet.

    Parameters
    ----------
    analysis : Analysis
        With a circuit.
    result : SolvedSituation or None
        None for the circuit alone.
    folded : bool, optional
        As in `Figure`.

    Returns
    -------
    tuple of Figure
    """
    drawing = with_voltages(_layout(analysis), analysis, result)
    sheets = len(drawing.sheets)
    figures = []
    for number in range(sheets):
        name = "schematic" if result is None or not folded else f"schematic-{result.name}"
        caption = "Schematic of the circuit as redrawn"
        if sheets > 1:
            name, caption = f"{name}-{number + 1}", f"{caption}, sheet {number + 1} of {sheets}"
        if result is not None:
            caption = f"{caption}, with its solved voltages: {situation_title(analysis, result.name)}"
            caption += _drawn_in_place(analysis, result)
        figures.append(
            Figure(
                name=name,
                caption=f"{caption}.",
                alt=f"{caption}. {_spoken(analysis)}{_stands_for(drawing)}",
                picture=schematic_picture(drawing, name, sheet=number),
                folded=folded,
            )
        )
    return tuple(figures)


def _spoken(analysis: Analysis) -> str:
    """The circuit in words, for those who do not see it."""
    circuit = analysis.circuit
    parts = ", ".join(
        f"{part.reference} {title_of_kind(part)}" + (" (no part, a stand-in)" if part.stands_for else "")
        for part in circuit.parts
    )
    real = sum(not part.stands_for for part in circuit.parts)
    return (
        f"{counted(real, 'part')} on {counted(len(circuit.nets), 'net')}: {parts}. The part list and the "
        "tables of operating points hold the same in text."
    )


def _stands_for(drawing: Drawing) -> str:
    """What is drawn once and stands for several, as a sentence."""
    told = [
        f"{joined(repeat.drawn)} also {'stand' if len(repeat.drawn) > 1 else 'stands'} for "
        + "; for ".join(joined(instance) for instance in repeat.instances[1:])
        for repeat in drawing.repeats
    ]
    return f" {'. '.join(told)}." if told else ""


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.circuit.parts:
        return (Paragraph(text="No circuit was recorded, so there is no schematic."),)
    return schematic_figures(analysis, most_read(analysis))


MEMBERS = (
    Chapter(
        name="circuit",
        title="Schematic",
        place=30,
        build=_build,
        says="The circuit as redrawn, with the voltages of the situation that most readings were taken in.",
    ),
)
