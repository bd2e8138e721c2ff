"""The solved circuit in every situation: voltages of nets, what supplies deliver, what parts take."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.dossier import Analysis, PartState, SolvedSituation, UnsolvedSituation
from lidoff.report.chapter import Chapter
from lidoff.report.model import Block, Cell, Column, Notice, Paragraph, Row, Subheading, Table
from lidoff.report.sections.schematic import most_read, schematic_figures
from lidoff.report.subject import (
    NEXT_TO_NOTHING,
    deliveries,
    net_cell,
    part_cell,
    situation_heading,
    situation_short,
)
from lidoff.report.words import amount, anchor, heading, joined, listed, sentence

__all__ = ["MEMBERS"]

SIDE_BY_SIDE = 3
"""Situations beside each other in one table of nets."""


def _nets_tables(analysis: Analysis, solved: Sequence[SolvedSituation]) -> tuple[Table, ...]:
    tables = []
    for start in range(0, len(solved), SIDE_BY_SIDE):
        some = solved[start : start + SIDE_BY_SIDE]
        rows = tuple(
            Row(
                cells=(
                    net_cell(net),
                    *(
                        Cell(
                            text=amount(result.nets[net]) if net in result.nets else "nothing fixes it",
                            net=net,
                        )
                        for result in some
                    ),
                )
            )
            for net in analysis.circuit.nets
        )
        tables.append(
            Table(
                caption=f"Solved voltages of the nets against {analysis.circuit.ground}, at rest. ± is the expanded "
                "uncertainty (k = 2) that the parts' tolerances give.",
                columns=(
                    Column(title="Net", share=1.2),
                    *(
                        Column(title=heading(situation_short(analysis, result.name)), numbers=True)
                        for result in some
                    ),
                ),
                rows=rows,
            )
        )
    return tuple(tables)


def _parts_table(analysis: Analysis, result: SolvedSituation) -> tuple[Block, ...]:
    moved = {name: state for name, state in result.parts.items() if _carries(state)}
    still = [name for name in result.parts if name not in moved]
    blocks: list[Block] = []
    if moved:
        blocks.append(
            Table(
                caption=f"Solved parts: {situation_short(analysis, result.name)}. Current counts into a part's first pin; "
                "power is what it takes up, negative where it delivers.",
                columns=(
                    Column(title="Part", share=1.3),
                    Column(title="Voltage", numbers=True),
                    Column(title="Current", numbers=True),
                    Column(title="Power", numbers=True),
                ),
                rows=tuple(
                    Row(
                        cells=(
                            part_cell(name),
                            Cell(text=amount(state.voltage)),
                            Cell(text=amount(state.current)),
                            Cell(text=amount(state.power)),
                        )
                    )
                    for name, state in moved.items()
                ),
            )
        )
    if still:
        blocks.append(
            Paragraph(text=f"Next to no current in {listed(still, 20)} (below 1 nA and 1 nW).", style="quiet")
        )
    return tuple(blocks)


def _carries(state: PartState) -> bool:
    current = 0.0 if state.current is None else abs(state.current.value)
    return current >= NEXT_TO_NOTHING or abs(state.power.value) >= NEXT_TO_NOTHING


def _situation(analysis: Analysis, result: SolvedSituation | UnsolvedSituation) -> tuple[Block, ...]:
    head = Subheading(title=situation_heading(analysis, result.name), anchor=anchor("situation", result.name))
    if isinstance(result, UnsolvedSituation):
        nets = f" Nets that would not settle: {joined(result.nets)}." if result.nets else ""
        return (
            head,
            Notice(title="No operating point", text=f"{result.what}.{nets} {result.remedy}", tone="fault"),
        )
    loose = (
        (Paragraph(text=f"Nothing fixes the voltage of {joined(result.undetermined)} here.", style="quiet"),)
        if result.undetermined
        else ()
    )
    shown = most_read(analysis)
    figure = (
        () if shown is None or shown.name == result.name else schematic_figures(analysis, result, folded=True)
    )
    return (
        head,
        Paragraph(text=sentence(deliveries(result))),
        *_parts_table(analysis, result),
        *loose,
        *figure,
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.circuit.parts or not analysis.situations:
        return ()
    solved = [one for one in analysis.situations if isinstance(one, SolvedSituation)]
    blocks: list[Block] = [*_nets_tables(analysis, solved)]
    for result in analysis.situations:
        blocks.extend(_situation(analysis, result))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="operating-points",
        title="Operating points",
        place=70,
        build=_build,
        says="Voltages, currents and powers of every situation, with their spread.",
    ),
)
