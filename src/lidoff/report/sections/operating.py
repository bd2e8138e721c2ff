"""The solved circuit in every situation: voltages of nets, what supplies deliver, what parts take."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from lidoff.circuit import replaced_at_rest
from lidoff.dossier import AC_MEANS, Analysis, PartState, SolvedSituation, UnsolvedSituation, unfixed_over
from lidoff.report.chapter import Chapter
from lidoff.report.limits import LITTLE_POWER, NEXT_TO_NOTHING
from lidoff.report.model import Block, Cell, Column, Notice, Paragraph, Row, Subheading, Table
from lidoff.report.over_period import Moved, alternates, moved_over, nets_over, period_of
from lidoff.report.sections.schematic import most_read, schematic_figures
from lidoff.report.subject import (
    deliveries,
    net_cell,
    part_cell,
    situation_heading,
    situation_short,
)
from lidoff.report.words import amount, anchor, heading, joined, sentence
from lidoff.schematic import stood_for

__all__ = ["MEMBERS"]

SIDE_BY_SIDE = 3
"""Situations beside each other in one table of nets."""
TRACE = 1e-5
"""Share of the largest voltage of all situations below which 0 V is printed; the data files hold the number."""
WORTH_TELLING = 0.01
"""Share of the largest power of a situation from which a part is shown at once; our choice."""
MOST_TOLD = 8
"""Parts shown at once."""
NOTHING_MOVES = "No part carries more than 1 nA or takes more than 1 µW here."
WHERE_ALL_IS = (
    "What takes the power in each situation. The voltages of all nets and the currents of all parts stand folded away on the "
    "web page and in nets.csv, currents.csv and analysis.json beside it. Parts have their values as told, whatever was read."
)


def _nets_tables(analysis: Analysis, solved: Sequence[SolvedSituation]) -> tuple[Table, ...]:
    """Voltages of all nets, folded away: a reader wants those of the schematic and the readings first."""
    largest = max(
        (abs(quantity.value) for result in solved for quantity in result.nets.values()), default=0.0
    )
    silent = {one.name: replaced_at_rest(analysis.circuit, one.situation).nets for one in solved}
    moving = {one.name: _over_period(analysis, one) for one in solved if alternates(analysis, one)}
    tables = []
    for start in range(0, len(solved), SIDE_BY_SIDE):
        some = solved[start : start + SIDE_BY_SIDE]
        rows = tuple(
            Row(
                cells=(
                    net_cell(net),
                    *(
                        Cell(text=moving[one.name].get(net, "alternates"), net=net)
                        if one.name in moving
                        else _voltage_cell(one, net, largest, silent[one.name])
                        for one in some
                    ),
                )
            )
            for net in analysis.circuit.nets
        )
        titles = [heading(situation_short(analysis, result.name)) for result in some]
        tables.append(
            Table(
                caption=f"Solved voltages of the nets against {analysis.circuit.ground}, at rest. ± is the expanded "
                "uncertainty (k = 2) that the parts' tolerances give; what is below a hundred-thousandth of the largest "
                f"voltage is printed as 0.{_about_ac(some, moving)}",
                columns=(
                    Column(title="Net", share=1.2),
                    *(Column(title=title, numbers=True) for title in titles),
                ),
                rows=rows,
                folded=f"Show the voltages of all nets: {joined(titles)}",
            )
        )
    return tuple(tables)


def _over_period(analysis: Analysis, result: SolvedSituation) -> dict[str, str]:
    """Voltages of all nets over a period, in words; none where it was not followed."""
    period = period_of(analysis, result)
    return {} if period is None else nets_over(period, TRACE)


def _about_ac(some: Sequence[SolvedSituation], moving: Mapping[str, Mapping[str, str]]) -> str:
    """Sentence on the columns of situations that alternate."""
    if not any(one.name in moving for one in some):
        return ""
    return f" Where something changes with time, the voltages are those over a period, without uncertainty: {AC_MEANS}."


def _voltage_cell(result: SolvedSituation, net: str, largest: float, silent: Collection[str]) -> Cell:
    quantity = result.nets.get(net)
    if net in silent:
        return Cell(text="alternates", net=net)
    if quantity is None:
        return Cell(text="nothing fixes it", net=net)
    seen = abs(quantity.value) + quantity.expanded > TRACE * largest
    return Cell(text=amount(quantity) if seen else "0 V", net=net)


def _parts_over_period(analysis: Analysis, result: SolvedSituation) -> tuple[Block, ...]:
    """Parts that take most of the power over a period, at most so many, and all that carry any, folded away."""
    period = period_of(analysis, result)
    if period is None:
        return ()
    moved = moved_over(period)
    if not moved:
        return (Paragraph(text=NOTHING_MOVES, style="quiet"),)
    largest = max(abs(one.watts) for one in moved.values())
    ranked = sorted(moved, key=lambda name: -abs(moved[name].watts))
    main = [name for name in ranked if abs(moved[name].watts) >= WORTH_TELLING * largest][:MOST_TOLD]
    title = situation_short(analysis, result.name)
    about = f"Over a period: {AC_MEANS}; power is the mean of what it takes up, negative where it delivers."
    shown = _rows(f"Where the power goes: {title}. {about}", {name: moved[name] for name in main})
    if len(main) == len(moved):
        return (shown,)
    others = _rows(f"All parts that carry current: {title}. {about}", moved)
    return (shown, replace(others, folded=f"Show all {len(moved)} parts that carry current"))


def _rows(caption: str, moved: Mapping[str, Moved]) -> Table:
    return _table(caption, {name: (one.voltage, one.current, one.power) for name, one in moved.items()})


def _parts_table(analysis: Analysis, result: SolvedSituation) -> tuple[Block, ...]:
    """Parts that take most of the power, at most so many, and all that carry any, folded away."""
    moved = {name: state for name, state in result.parts.items() if _carries(state)}
    if not moved:
        return (Paragraph(text=NOTHING_MOVES, style="quiet"),)
    largest = max(abs(state.power.value) for state in moved.values())
    ranked = sorted(moved, key=lambda name: -abs(moved[name].power.value))
    main = [name for name in ranked if abs(moved[name].power.value) >= WORTH_TELLING * largest][:MOST_TOLD]
    title = situation_short(analysis, result.name)
    about = "Current counts into a part's first pin; power is what it takes up, negative where it delivers."
    shown = _states(f"Where the power goes: {title}. {about}", {name: moved[name] for name in main})
    if len(main) == len(moved):
        return (shown,)
    others = _states(f"All parts that carry current: {title}. {about}", moved)
    return (shown, replace(others, folded=f"Show all {len(moved)} parts that carry current"))


def _states(caption: str, states: Mapping[str, PartState]) -> Table:
    return _table(
        caption,
        {
            name: (amount(state.voltage), amount(state.current), amount(state.power))
            for name, state in states.items()
        },
    )


def _table(caption: str, rows: Mapping[str, tuple[str, str, str]]) -> Table:
    return Table(
        caption=caption,
        columns=(
            Column(title="Part", share=1.3),
            Column(title="Voltage", numbers=True),
            Column(title="Current", numbers=True),
            Column(title="Power", numbers=True),
        ),
        rows=tuple(
            Row(cells=(part_cell(name), *(Cell(text=text) for text in texts))) for name, texts in rows.items()
        ),
    )


def _carries(state: PartState) -> bool:
    current = 0.0 if state.current is None else abs(state.current.value)
    return current >= NEXT_TO_NOTHING or abs(state.power.value) >= LITTLE_POWER


def _situation(analysis: Analysis, result: SolvedSituation | UnsolvedSituation) -> tuple[Block, ...]:
    head = Subheading(title=situation_heading(analysis, result.name), anchor=anchor("situation", result.name))
    if isinstance(result, UnsolvedSituation):
        if result.restless:
            text = f"{sentence(result.what)} {sentence(result.remedy)}"
            return (head, Notice(title="No state of rest", text=text, tone="caution"))
        nets = f" Nets that would not settle: {joined(result.nets)}." if result.nets else ""
        return (
            head,
            Notice(title="No operating point", text=f"{result.what}.{nets} {result.remedy}", tone="fault"),
        )
    moving = alternates(analysis, result)
    period = period_of(analysis, result) if moving else None
    unfixed = result.undetermined if period is None else tuple(sorted(unfixed_over(period)))
    loose = (
        (Paragraph(text=f"Nothing fixes the voltage of {joined(unfixed)} here.", style="quiet"),)
        if unfixed
        else ()
    )
    replaced = replaced_at_rest(analysis.circuit, result.situation)
    averaged = tuple(
        Paragraph(
            text=f"{name} stands for {stood_for(analysis.circuit.part(name))} here, so these are averages; the chapter on "
            "waveforms follows the parts themselves.",
            style="quiet",
        )
        for name in replaced.by
    )
    shown = most_read(analysis)
    figure = (
        () if shown is None or shown.name == result.name else schematic_figures(analysis, result, folded=True)
    )
    return (
        head,
        Paragraph(text=sentence(deliveries(analysis, result))),
        *averaged,
        *(_parts_over_period(analysis, result) if moving else _parts_table(analysis, result)),
        *loose,
        *figure,
    )


def _build(analysis: Analysis) -> tuple[Block, ...]:
    if not analysis.circuit.parts or not analysis.situations:
        return ()
    solved = [one for one in analysis.situations if isinstance(one, SolvedSituation)]
    blocks: list[Block] = [Paragraph(text=WHERE_ALL_IS, style="quiet"), *_nets_tables(analysis, solved)]
    for result in analysis.situations:
        blocks.extend(_situation(analysis, result))
    return tuple(blocks)


MEMBERS = (
    Chapter(
        name="operating-points",
        title="Operating points",
        place=80,
        build=_build,
        says="Voltages, currents and powers of every situation, with their spread.",
    ),
)
