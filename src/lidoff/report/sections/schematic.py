"""The circuit as a schematic, with the solved voltages of one situation."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

from lidoff.dossier import Analysis, SolvedSituation
from lidoff.report.chapter import Chapter
from lidoff.report.inline import schematic_picture
from lidoff.report.model import Block, Cell, Column, Figure, Paragraph, Row, Table
from lidoff.report.subject import situation_title, title_of_kind
from lidoff.report.words import joined
from lidoff.schematic import Drawing, Repeat, draw

__all__ = ["MEMBERS", "SolvedFigures", "drawing_of", "liveliest", "schematic_figure"]


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
    return SolvedFigures(
        voltages={
            net: 0.0 if abs(quantity.value) < 1e-9 else quantity.value
            for net, quantity in result.nets.items()
        },
        currents={
            name: state.current.value for name, state in result.parts.items() if state.current is not None
        },
    )


def liveliest(analysis: Analysis) -> SolvedSituation | None:
    """Solved situation in which the supplies deliver most, the first of equals; None where none was solved."""
    solved = [one for one in analysis.situations if isinstance(one, SolvedSituation)]
    if not solved:
        return None
    return max(solved, key=lambda one: sum(max(state.power.value, 0.0) for state in one.supplies.values()))


def drawing_of(analysis: Analysis) -> Drawing:
    """Drawing of the circuit with the voltages of the liveliest situation.

    Parameters
    ----------
    analysis : Analysis
        With a circuit.

    Returns
    -------
    Drawing
    """
    return _drawing(analysis, liveliest(analysis))


def _drawing(analysis: Analysis, result: SolvedSituation | None) -> Drawing:
    untitled = replace(analysis.circuit, title="")  # the caption says it
    return draw(untitled, None if result is None else _figures_of(result))


def schematic_figure(analysis: Analysis, result: SolvedSituation | None, *, folded: bool = False) -> Figure:
    """Schematic with the solved voltages of a situation.

    Parameters
    ----------
    analysis : Analysis
    result : SolvedSituation or None
        None for the circuit alone.
    folded : bool, optional
        As in `Figure`.

    Returns
    -------
    Figure
    """
    drawing = _drawing(analysis, result)
    name = "schematic" if result is None or not folded else f"schematic-{result.name}"
    if result is None:
        caption = "Schematic of the circuit as redrawn."
    else:
        caption = f"Schematic of the circuit as redrawn, with its solved voltages: {situation_title(analysis, result.name)}."
    parts = ", ".join(f"{part.reference} {title_of_kind(part)}" for part in analysis.circuit.parts)
    nets = len(analysis.circuit.nets)
    alt = f"{caption} {len(analysis.circuit.parts)} parts on {nets} nets: {parts}. The part list and the tables of "
    return Figure(
        name=name,
        caption=caption,
        alt=f"{alt}operating points hold the same in text.",
        picture=schematic_picture(drawing, name),
        folded=folded,
    )


def _repeats(drawing: Drawing) -> tuple[Block, ...]:
    """Table of what is drawn once and stands for several."""
    if not drawing.repeats:
        return ()
    rows = tuple(row for repeat in drawing.repeats for row in _repeat_rows(repeat))
    columns = (
        Column(title="Drawn", share=1.2),
        Column(title="Also stands for", share=1.6),
        Column(title="Between the nets", share=2.0),
    )
    return (Table(caption="Groups that are drawn once and stand for several.", columns=columns, rows=rows),)


def _repeat_rows(repeat: Repeat) -> tuple[Row, ...]:
    rows = []
    for number, instance in enumerate(repeat.instances):
        if number == 0:
            continue
        nets = repeat.nets[number] if number < len(repeat.nets) else {}
        own = joined([f"{other} for {drawn}" for drawn, other in sorted(nets.items()) if other != drawn])
        rows.append(
            Row(
                cells=(
                    Cell(text=joined(repeat.drawn)),
                    Cell(text=joined(instance)),
                    Cell(text=own or "the same"),
                )
            )
        )
    return tuple(rows)


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.circuit.parts:
        return (Paragraph(text="No circuit was recorded, so there is no schematic."),)
    result = liveliest(analysis)
    return (schematic_figure(analysis, result), *_repeats(_drawing(analysis, result)))


MEMBERS = (
    Chapter(
        name="circuit",
        title="Schematic",
        place=50,
        build=_build,
        says="The circuit as redrawn, with the voltages of the situation that draws most power.",
    ),
)
