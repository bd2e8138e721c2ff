"""Single lithium cells: charge limit, charge current, discharge cut-off, what stops a short; primary cells being charged."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from itertools import count
from typing import Any

from lidoff.circuit import (
    Circuit,
    Part,
    Situation,
    Solution,
    Waveforms,
    kind_of,
    operating_point,
    predict_spread,
    settings_of,
)
from lidoff.circuit.kind import Array
from lidoff.circuit.kinds.cell import open_voltage
from lidoff.errors import LidoffError
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_least, at_most
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Load, loads_of
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import CellTold
from lidoff.hazards.watching import chemistry_of, is_cell
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

PRIMARY = ("alkaline", "carbon-zinc", "lithium-manganese", "silver oxide")
"""Chemistries that are not made to be charged; common practice, no source."""
TRICKLE = 1e-3
"""Current into a cell from which it counts as being charged [A]."""
MONTH = 730.0
"""Hours of a month; capacities are in ampere hours [h]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """One cell with what is known of it."""

    part: Part
    chemistry: str
    cells: float
    told: CellTold
    charging: tuple[Load, ...]
    volts: Mapping[str, Load]

    @property
    def row(self) -> Mapping[str, Any]:
        row: Mapping[str, Any] = limit_table("lithium_cells").entries[self.chemistry]
        return row

    @property
    def taken_for(self) -> tuple[str, ...]:
        """The chemistry, where it is only assumed."""
        told = "chemistry" in self.part.values
        return () if told else (f"a {self.chemistry} cell, as the dossier tells no chemistry",)


def _look(subject: Subject) -> tuple[Hazard, ...]:
    found: list[Hazard] = []
    for part in subject.circuit.parts:
        if not is_cell(part):
            continue
        cell = _cell(subject, part)
        if cell.chemistry in PRIMARY:
            found += _charged_primary(cell)
        elif cell.chemistry in limit_table("lithium_cells").entries:
            found += [
                *_charge_voltage(subject, cell),
                *_charge_current(cell),
                _cut_off(cell),
                _protection(subject, cell),
            ]
    return tuple(found)


def _cell(subject: Subject, part: Part) -> _Cell:
    charging = tuple(
        one
        for one in loads_of(subject, partial(_taken, part.reference), "A", "highest")
        if one.value.value > TRICKLE
    )
    volts = loads_of(subject, partial(_voltage, part.reference), "V", "highest")
    told = next((one for one in subject.cells if one.name == part.reference), None)
    return _Cell(
        part=part,
        chemistry=chemistry_of(part),
        cells=settings_of(part).get("cells", 1.0),
        told=told or CellTold(name=part.reference),
        charging=charging,
        volts={one.situation: one for one in volts},
    )


def _taken(reference: str, solved: Solution | Waveforms) -> Array:
    """Current into the cell; nothing where it gives."""
    current = solved.current(reference)
    taken: Array = current * (current > 0.0)
    return taken


def _voltage(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.part_voltage(reference)


def _hazard(cell: _Cell, title: str, what: str, **more: Any) -> Hazard:
    fields: dict[str, Any] = {
        "check": "cells",
        "title": title,
        "outcome": "cannot tell",
        "severity": "caution",
        "what": what,
        "source": limit_table("lithium_cells").words,
        "from_memory": True,
        "assumed": cell.taken_for,
        "parts": (cell.part.reference,),
    }
    return Hazard(**{**fields, **more})


def _charged_primary(cell: _Cell) -> Iterator[Hazard]:
    if cell.charging:
        worst = max(cell.charging, key=lambda load: load.value.value)
        yield _hazard(
            cell,
            f"{cell.part.reference} is charged, and not made for it",
            f"{cell.part.reference} ({cell.chemistry}) takes {format_quantity(worst.value)} in "
            f"{titled(worst.situation)}; such a cell "
            "may leak or burst when charged.",
            outcome="beyond the limit",
            severity="fault",
            value=worst.value,
            limit=Quantity(0.0, "A"),
            limit_says="current into a cell that is not rechargeable",
            situations=(worst.situation,),
            remedy="look for the diode that should stop it",
        )


def _charge_voltage(subject: Subject, cell: _Cell) -> Iterator[Hazard]:
    """Held per cell: as told, else the highest of charging situations and of the charger's own end voltage."""
    name, most = cell.part.reference, Quantity(cell.row["charge_limit"] + _margin(), "V")
    told = cell.told.read("charge_limit")
    found: list[tuple[Quantity, str]] = []
    if told is not None:
        found.append((told, "as told"))
    else:
        found += [
            (cell.volts[load.situation].value, f"solved, {titled(load.situation)}")
            for load in cell.charging
            if load.situation in cell.volts
        ]
        found += [(end, f"at which {reference} ends") for reference, end in _chargers(subject, cell)]
        found += _where_it_ends(subject, cell)
    if not found:
        return
    value, how = max(found, key=lambda pair: pair[0].value)
    each = Quantity(value.value / cell.cells, "V", value.uncertainty / cell.cells)
    share = "" if cell.cells == 1.0 else f", {format_quantity(each)} each if all are alike"
    yield _hazard(
        cell,
        f"charge limit of {name}{' passed' if at_most(each, most) == 'beyond the limit' else ''}",
        f"{name} is charged up to {format_quantity(value)} ({how}){share}; a {cell.chemistry} cell takes "
        f"{format_quantity(Quantity(cell.row['charge_limit'], 'V'))}, and {format_quantity(Quantity(_margin(), 'V'))} more "
        "at most.",
        outcome=at_most(each, most),
        severity="fault",
        value=each,
        limit=most,
        limit_says="highest voltage of a cell while charging",
        remedy="do not charge it; measure the cell at the end of a charge that is watched",
    )


def _where_it_ends(subject: Subject, cell: _Cell) -> Iterator[tuple[Quantity, str]]:
    """Voltage that a charge comes to where it is left alone: at which it brings no more than the cell loses by itself.

    With no load at all in the cell's place, what a charger leaks when it is shut would lift it to any voltage.
    """
    connected = kind_of(cell.part).parameters_of(cell.part).get("connected")
    situations = [
        subject.situations[load.situation] for load in cell.charging if load.situation in subject.situations
    ]
    if connected is None or "removed" not in connected.words or not situations:
        return
    name = cell.part.reference
    empty = tuple(
        Situation(
            name=one.name,
            settings={**one.settings, name: {**one.settings.get(name, {}), "connected": "removed"}},
        )
        for one in situations
        if not subject.alternates(one)
    )
    if not empty:
        return
    circuit = _standing(subject, cell)
    # A charger's own end voltage is known with its spread: only a charge that goes on beyond it is followed further.
    ends = [end.value for _, end in _chargers(subject, cell)]
    try:
        nominal = operating_point(circuit, situations=empty).part_voltage(name)
        if ends and not (nominal > max(ends) + _margin()).any():
            return
        spreading = predict_spread(circuit, empty)
        prediction = spreading.of(lambda solution: solution.part_voltage(name))
    except LidoffError:
        return
    for number, one in enumerate(empty):
        value, spread = float(prediction.value[number]), float(prediction.uncertainty[number])
        if spreading.solution.settled[number] and math.isfinite(value) and math.isfinite(spread):
            yield Quantity(value, "V", spread), f"where the charge ends by itself, {one.name}"


def _standing(subject: Subject, cell: _Cell) -> Circuit:
    """Circuit with what a full cell loses by itself as a resistor in the cell's place."""
    loss = settings_of(cell.part)["capacity"] * limit_table("lithium_cells").entries["self_discharge"] / MONTH
    references = {part.reference for part in subject.circuit.parts}
    own = next(name for number in count(1) if (name := f"R{number}") not in references)
    first, second = kind_of(cell.part).path
    resistor = Part(
        reference=own,
        kind="resistor",
        pins={"1": cell.part.pins[first], "2": cell.part.pins[second]},
        values={"resistance": cell.row["charge_limit"] * cell.cells / loss},
    )
    return replace(subject.circuit, parts=(*subject.circuit.parts, resistor))


def _margin() -> float:
    margin: float = limit_table("lithium_cells").entries["margin"]
    return margin


def _chargers(subject: Subject, cell: _Cell) -> Iterator[tuple[str, Quantity]]:
    """Parts with an end voltage of their own, with that voltage."""
    for part in subject.circuit.parts:
        numbers = settings_of(part)
        if "full_voltage" in numbers and cell.charging:
            parameter = kind_of(part).parameters_of(part)["full_voltage"]
            spread = part.spreads.get("full_voltage", parameter.spread)
            value = numbers["full_voltage"]
            yield part.reference, Quantity(value, "V", spread.standard(value))


def _charge_current(cell: _Cell) -> Iterator[Hazard]:
    told = cell.told.read("charge_current")
    worst = max(cell.charging, key=lambda load: load.value.value, default=None)
    if told is None and worst is None:
        return
    value = told if told is not None else worst.value  # type: ignore[union-attr]
    where = "as told" if told is not None else f"{worst.seen} in {titled(worst.situation)}"  # type: ignore[union-attr]
    table = limit_table("lithium_cells").entries
    capacity = settings_of(cell.part)["capacity"]
    limit = Quantity(table["most_charge"] * capacity, "A")
    share = value.value / capacity
    standard = table["standard_charge"]
    assumed = (
        ()
        if "capacity" in cell.part.values
        else (f"a capacity of {format_quantity(Quantity(capacity, 'Ah'))}, as none is told",)
    )
    yield _hazard(
        cell,
        f"charge current of {cell.part.reference}",
        f"{cell.part.reference} is charged with {format_quantity(value)} ({where}), {share:.2g} of its capacity an hour; data "
        f"sheets have {standard:g} as the standard charge and seldom allow more than {table['most_charge']:g}.",
        outcome=at_most(value, limit),
        value=value,
        limit=limit,
        limit_says="its capacity an hour",
        assumed=(*cell.taken_for, *assumed),
        situations=(worst.situation,) if told is None and worst is not None else (),
        remedy="look for the cell's own data sheet",
    )


def _cut_off(cell: _Cell) -> Hazard:
    told = cell.told.read("cut_off")
    name, least = cell.part.reference, Quantity(cell.row["cut_off"], "V")
    if told is None:
        return _hazard(
            cell,
            f"cut-off voltage of {name}",
            f"The dossier does not tell at which voltage the device stops taking current from {name}; a {cell.chemistry} cell "
            f"is hurt below {format_quantity(least)}, and may be dangerous to charge after that.",
            limit=least,
            limit_says="lowest voltage of a cell under load",
            severity="note",
            remedy=f'log a discharge until it stops, and add cut_off = "…" to [cells.{name}]',
        )
    each = Quantity(told.value / cell.cells, "V", told.uncertainty / cell.cells)
    return _hazard(
        cell,
        f"cut-off voltage of {name}",
        f"The device stops at {format_quantity(each)} of the cell; a {cell.chemistry} cell is hurt below "
        f"{format_quantity(least)}, and most designs stop at {format_quantity(Quantity(cell.row['usual_cut_off'], 'V'))}.",
        outcome=at_least(each, least),
        value=each,
        limit=least,
        limit_says="lowest voltage of a cell under load",
        remedy="stop in time by hand, and do not charge a cell that was found below it",
    )


def _open_voltage(subject: Subject, part: Part) -> float:
    """Highest voltage that the cell has without a load, over all situations; what its load leaves of it drives no short."""
    settings = [one.settings.get(part.reference) for one in subject.situations.values()]
    return max(open_voltage(settings_of(part, one)) for one in (None, *settings))


def _protection(subject: Subject, cell: _Cell) -> Hazard:
    """What stops a short: a protection circuit, told or not."""
    name, numbers = cell.part.reference, settings_of(cell.part)
    inner = numbers["internal_resistance"] * cell.cells
    open_volts = _open_voltage(subject, cell.part)
    short = open_volts / inner if inner > 0.0 else float("inf")
    rating = Quantity(numbers["current_rating"], "A")
    shorted = (
        f"A short at its tabs would draw about {short:.2g} A ({open_volts:.2g} V over {inner * 1e3:.0f} mΩ)"
    )
    over = cell.told.read("over_current")
    if cell.told.protection == "absent":
        return _hazard(
            cell,
            f"nothing stops a short of {name}",
            f"No protection circuit was found on {name}. {shorted}, against a rating of {format_quantity(rating)}.",
            outcome="beyond the limit",
            limit_says="a protection circuit, or a fuse close to the cell",
            remedy="keep it from shorts while open: tape over its tabs before touching anything else",
        )
    if cell.told.protection == "present" and over is not None:
        most = Quantity(limit_table("lithium_cells").entries["short_factor"] * rating.value, "A")
        return _hazard(
            cell,
            f"protection of {name}",
            f"A protection circuit stops {name} at {format_quantity(over)}, against a rating of {format_quantity(rating)}. "
            f"{shorted}.",
            outcome=at_most(over, most),
            value=over,
            limit=most,
            limit_says="three times the rated current",
        )
    found = "was found, but not at which current it acts" if cell.told.protection else "was not looked for"
    return _hazard(
        cell,
        f"protection of {name}",
        f"A protection circuit on {name} {found}. {shorted}, against a rating of {format_quantity(rating)}.",
        severity="note",
        remedy=f"add over_current to [cells.{name}]: the voltage at which its chip acts, from the data sheet, over the "
        "resistance of its transistors, or the current at which it was seen to open"
        if cell.told.protection
        else f"look for a small board with two transistors at the cell, and add protection to [cells.{name}]",
    )


MEMBERS = (
    HazardCheck(
        name="cells",
        title="Cells",
        look=_look,
        says="Whether lithium cells keep their charge limit, charge current and cut-off, and what stops a short.",
        source="usual limits of makers' data sheets, after IEC 62133-2:2017, from memory",
        cautions=("lithium",),
        not_checked=(
            "temperature while charging and discharging",
            "balance of cells in series",
            "age, damage, and whether a cell is what its sleeve says",
            "chemistries other than lithium, but for being charged at all",
        ),
    ),
)
