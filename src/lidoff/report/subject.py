"""What chapters say of the same things in the same words: situations, parts, ratings, readings."""

from __future__ import annotations

from lidoff.circuit import Kind, Part, all_kinds, kind_of
from lidoff.dossier import Analysis, SolvedSituation, SupplyState
from lidoff.evidence import AcrossPart, InPart, IntoPin, Measured, NetVoltage, WithoutPower
from lidoff.hazards import Hazard, Stress
from lidoff.quantities import Quantity
from lidoff.report.limits import LITTLE_POWER, NEXT_TO_NOTHING
from lidoff.report.model import Cell
from lidoff.report.over_period import alternates, delivered_over, period_of
from lidoff.report.words import amount, anchor, heading, joined, plain_name

__all__ = [
    "dangers_found",
    "deliveries",
    "net_cell",
    "part_cell",
    "part_value",
    "rating_name",
    "reading_cell",
    "situation_heading",
    "situation_short",
    "situation_title",
    "title_of_kind",
]

SHORT = 24
"""Letters up to which the title of a situation stands in tables and brackets."""


def situation_title(analysis: Analysis, name: str) -> str:
    """Title of a situation in running text, or its name where it has none."""
    for entry in analysis.dossier.situations:
        if entry.name == name and entry.title:
            return entry.title
    return plain_name(name)


def situation_short(analysis: Analysis, name: str) -> str:
    """Title of a situation where it is short, else its name: for tables and brackets."""
    title = situation_title(analysis, name)
    return title if len(title) <= SHORT else plain_name(name)


def situation_heading(analysis: Analysis, name: str) -> str:
    """Name and title of a situation, for a heading; the title alone where it is short."""
    title = situation_title(analysis, name)
    return heading(title) if len(title) <= SHORT else f"{heading(plain_name(name))}: {title}"


def dangers_found(analysis: Analysis) -> tuple[Hazard, ...]:
    """What lies beyond a limit for danger, the gravest first; loads on parts are told by their ratings."""
    return tuple(
        hazard
        for hazard in analysis.hazards
        if hazard.outcome == "beyond the limit" and hazard.severity != "note" and hazard.check != "stress"
    )


def deliveries(analysis: Analysis, result: SolvedSituation) -> str:
    """What the supplies deliver in a situation, without those that deliver next to nothing; over a period if it alternates."""
    if alternates(analysis, result):
        period = period_of(analysis, result)
        if period is None:
            return (
                "it alternates and no waveform of it was found, so it is not told what the supplies deliver"
            )
        over = {name: delivered_over(period, name) for name in result.supplies}
        told = [f"{name} {words}" for name, words in over.items() if words]
    else:
        told = [f"{name} {_delivered(state)}" for name, state in result.supplies.items() if not _idle(state)]
    if told:
        return joined(told)
    return "the supplies deliver next to nothing" if result.supplies else "the circuit has no supply"


def _idle(state: SupplyState) -> bool:
    current = 0.0 if state.current is None else state.current.value
    return abs(current) < NEXT_TO_NOTHING and abs(state.power.value) < LITTLE_POWER


def _delivered(state: SupplyState) -> str:
    """What a supply delivers, as the rest of a sentence."""
    if state.power.value < 0.0:
        taken = f"{amount(_reversed(state.current))} and " if state.current is not None else ""
        return f"takes up {taken}{amount(_reversed(state.power))}"
    given = f"{amount(state.current)} and " if state.current is not None else ""
    return f"delivers {given}{amount(state.power)}"


def _reversed(quantity: Quantity) -> Quantity:
    return Quantity(-quantity.value, quantity.unit, quantity.uncertainty, quantity.dof)


def rating_name(stress: Stress) -> str:
    """Rating as a person says it."""
    return plain_name(stress.rating)


def title_of_kind(part: Part) -> str:
    """Kind of a part as a person says it."""
    kind: Kind | None = all_kinds().get(part.kind)
    return kind.title if kind else part.kind


def part_value(analysis: Analysis, part: Part) -> str:
    """Main value of a part as the dossier writes it; empty where it says none."""
    entry = next((one for one in analysis.dossier.parts if one.reference == part.reference), None)
    main = kind_of(part).main_value
    return entry.values.get(main, "") if entry is not None else ""


def part_cell(reference: str, note: str = "") -> Cell:
    """Cell that names a part and leads to its line in the part list."""
    return Cell(text=reference, note=note, target=anchor("part", reference), part=reference)


def net_cell(net: str, note: str = "") -> Cell:
    """Cell that names a net."""
    return Cell(text=net, note=note, net=net)


def reading_cell(measured: Measured) -> Cell:
    """Cell that names a reading and what it is about."""
    target = measured.reading.target
    part = target.reference if isinstance(target, AcrossPart | InPart | IntoPin) else ""
    net = target.net if isinstance(target, NetVoltage) else ""
    net = target.red if isinstance(target, WithoutPower) else net
    return Cell(text=plain_name(measured.name), note=str(target), part=part, net=net)
