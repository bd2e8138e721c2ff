"""The circuit as a schematic, with the solved voltages of one situation."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from lidoff.dossier import Analysis, SolvedSituation, drawing_options
from lidoff.report.chapter import Chapter
from lidoff.report.inline import schematic_picture
from lidoff.report.model import Block, Figure, Paragraph
from lidoff.report.subject import situation_title, title_of_kind
from lidoff.report.words import counted, joined
from lidoff.schematic import Drawing, draw, engineering

__all__ = ["MEMBERS", "SolvedFigures", "drawing_of", "most_read", "schematic_figures", "with_voltages"]

TRACE = 1e-5
"""Share of the largest voltage below which the drawing writes 0 V; the tables hold the number."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedFigures:
    """Nominal voltages and currents of one situation, for a drawing; what is not known is not a number.

    Attributes
    ----------
    voltages : mapping of str to float
        By net [V].
    currents : mapping of str to float
        By reference [A].
    """

    voltages: Mapping[str, float]
    currents: Mapping[str, float]

    def voltage(self, net: str) -> float:
        """Voltage of a net [V]."""
        return self.voltages.get(net, math.nan)

    def current(self, reference: str) -> float:
        """Current along a part's main path [A]."""
        return self.currents.get(reference, math.nan)


def _figures_of(result: SolvedSituation) -> SolvedFigures:
    largest = max((abs(quantity.value) for quantity in result.nets.values()), default=0.0)
    return SolvedFigures(
        voltages={
            net: quantity.value if abs(quantity.value) > TRACE * largest else 0.0
            for net, quantity in result.nets.items()
        },
        currents={
            name: state.current.value for name, state in result.parts.items() if state.current is not None
        },
    )


def most_read(analysis: Analysis) -> SolvedSituation | None:
    """Solved situation that most readings were taken in, the first of equals; None where none was solved."""
    solved = [one for one in analysis.situations if isinstance(one, SolvedSituation)]
    if not solved:
        return None
    counts = Counter(one.measured.reading.situation for one in analysis.comparisons)
    return max(solved, key=lambda one: counts[one.name])


def drawing_of(analysis: Analysis) -> Drawing:
    """Drawing of the circuit with the voltages of the situation that most readings were taken in.

    Parameters
    ----------
    analysis : Analysis
        With a circuit.

    Returns
    -------
    Drawing
    """
    return with_voltages(_layout(analysis), most_read(analysis))


@lru_cache(maxsize=1)  # placing parts is the slowest step of a report, and all its drawings share one layout
def _layout(analysis: Analysis) -> Drawing:
    result = most_read(analysis)
    untitled = replace(analysis.circuit, title="")  # the caption says it
    return draw(
        untitled,
        None if result is None else _figures_of(result),
        options=drawing_options(analysis.dossier),
    )


def with_voltages(drawing: Drawing, result: SolvedSituation | None) -> Drawing:
    """Drawing with the voltages of another situation in the places of its own.

    Parameters
    ----------
    drawing : Drawing
        With voltages.
    result : SolvedSituation or None
        None leaves the drawing as it is.

    Returns
    -------
    Drawing
        Nets that nothing fixes are marked with a question mark.
    """
    if result is None:
        return drawing
    figures = _figures_of(result)
    sheets = tuple(
        replace(
            sheet,
            labels=tuple(
                replace(label, text=engineering(figures.voltage(label.owner), "V"))
                if label.role == "voltage"
                else label
                for label in sheet.labels
            ),
        )
        for sheet in drawing.sheets
    )
    return replace(drawing, sheets=sheets, voltages=figures.voltages, currents=figures.currents)


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
    drawing = with_voltages(_layout(analysis), result)
    sheets = len(drawing.sheets)
    figures = []
    for number in range(sheets):
        name = "schematic" if result is None or not folded else f"schematic-{result.name}"
        caption = "Schematic of the circuit as redrawn"
        if sheets > 1:
            name, caption = f"{name}-{number + 1}", f"{caption}, sheet {number + 1} of {sheets}"
        if result is not None:
            caption = f"{caption}, with its solved voltages: {situation_title(analysis, result.name)}"
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
    parts = ", ".join(f"{part.reference} {title_of_kind(part)}" for part in circuit.parts)
    return (
        f"{counted(len(circuit.parts), 'part')} on {counted(len(circuit.nets), 'net')}: {parts}. The part list and the "
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
