"""Whether the inside of diodes, light-emitting diodes, transistors and regulators gets too hot by their own power."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from lidoff.circuit import Part, Solution, Waveforms
from lidoff.circuit.kind import Array
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, Outcome, at_most
from lidoff.hazards.heating import body_resistance, inside_air, junction_limit, junction_temperature
from lidoff.hazards.limits import limit_table
from lidoff.hazards.loads import Load, loads_of
from lidoff.hazards.subject import Subject
from lidoff.hazards.thermal import air_around
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

SHORT_EVENT = 300.0  # [°C] above, the part fails before it gets there; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hot:
    """One part at its hottest."""

    part: Part
    load: Load
    resistance: Quantity
    body: str
    limit: Quantity
    air: Quantity
    around: str
    others: tuple[Load, ...]

    @property
    def also(self) -> tuple[str, ...]:
        """Further situations in which it gets too hot, or near it, with how hot."""
        found = [(one, junction_temperature(one.value, self.resistance, self.air)) for one in self.others]
        return tuple(
            f"{titled(load.situation)} ({_how_hot(hot)})"
            for load, hot in found
            if at_most(hot, self.limit) != "within the limit"
        )

    @property
    def junction(self) -> Quantity:
        return junction_temperature(self.load.value, self.resistance, self.air)

    @property
    def outcome(self) -> Outcome:
        return at_most(self.junction, self.limit)


def _look(subject: Subject) -> tuple[Hazard, ...]:
    hot, unknown = [], []
    for part in subject.circuit.parts:
        limit = junction_limit(part.kind)
        if limit is None:
            continue
        loads = loads_of(subject, partial(_power, part.reference), "W", "mean")
        load = max(loads, key=lambda one: one.value.value, default=None)
        if load is None or load.value.value < limit_table("thermal_bodies").entries["least_power"]:
            continue
        body = body_resistance(part)
        if body is None:
            unknown.append((part, load))
            continue
        air, around = air_around(subject, part.reference)
        hot.append(
            _Hot(
                part=part,
                load=load,
                resistance=body[0],
                body=body[1],
                limit=Quantity(limit, "°C"),
                air=air,
                around=around,
                others=tuple(one for one in loads if one is not load),
            )
        )
    hot.sort(key=lambda one: one.limit.value - one.junction.value)
    groups: dict[tuple[str, str, Outcome], list[_Hot]] = {}
    for one in hot:
        # Parts that keep their limit are told together, whatever they are.
        key = ("", "") if one.outcome == "within the limit" else (one.part.kind, one.body)
        groups.setdefault((*key, one.outcome), []).append(one)
    return (*(_told(group) for group in groups.values()), *_unknown(unknown))


def _power(reference: str, solved: Solution | Waveforms) -> Array:
    return solved.power(reference)


def _resistance(value: Quantity) -> str:
    # A prefix before kelvins per watt reads oddly.
    return f"{value.value:.0f} K/W ± {value.expanded:.0f} K/W"


def _how_hot(junction: Quantity) -> str:
    """Temperature in words; beyond where parts fail, a thermal resistance says nothing."""
    if junction.value > SHORT_EVENT:
        return f"more than {format_quantity(Quantity(SHORT_EVENT, '°C'))}"
    return format_quantity(junction)


def _told(group: list[_Hot]) -> Hazard:
    worst, names = group[0], [one.part.reference for one in group]
    kept = worst.outcome == "within the limit"
    what = (
        f"{worst.part.reference} turns {format_quantity(worst.load.value)} into heat ({worst.load.seen} in "
        f"{titled(worst.load.situation)}); through {_resistance(worst.resistance)} of its body "
        f"({worst.body}) its inside comes to "
        f"{_how_hot(worst.junction)}"
    )
    if worst.air.value != inside_air().value:
        what += f" in air of {format_quantity(worst.air)}"
    if worst.junction.value > SHORT_EVENT:
        what += ", if that lasts for minutes: it fails before"
    if worst.also:
        what += f"; too hot, or near it, in {listed(worst.also)} as well"
    if len(group) > 1:
        what += f"; {'of these, the nearest to its limit' if kept else 'so do, less or alike'}"
        what = what if kept else f"{what}, {listed(names[1:])}"
    return Hazard(
        check="junction heat",
        title=f"inside of {listed(names)} {'too hot' if worst.outcome == 'beyond the limit' else 'against its usual limit'}",
        outcome=worst.outcome,
        severity="caution",
        what=f"{what}.",
        value=worst.junction if worst.junction.value <= SHORT_EVENT else None,
        limit=worst.limit,
        limit_says="usual highest junction temperature",
        source=limit_table("thermal_bodies").words,
        from_memory=True,
        assumed=(
            f"{worst.around} at {format_quantity(worst.air)}",
            "thermal resistance as usual for the body on a small board, within 40 %",
            "all electrical power turns into heat",
            *worst.load.assumed,
        ),
        parts=tuple(names),
        situations=tuple(dict.fromkeys(one.load.situation for one in group)),
        remedy="measure the body with a thermocouple while it runs; take limit and thermal resistance from the data sheet",
    )


def _unknown(unknown: list[tuple[Part, Load]]) -> Iterator[Hazard]:
    if not unknown:
        return
    unknown.sort(key=lambda pair: -pair[1].value.value)
    names = [part.reference for part, _ in unknown]
    part, load = unknown[0]
    yield Hazard(
        check="junction heat",
        title=f"inside of {listed(names)}",
        outcome="cannot tell",
        severity="note",
        what=f"The body of {listed(names)} is not in the table of thermal resistances; {part.reference} turns "
        f"{format_quantity(load.value)} into heat in {titled(load.situation)}.",
        source=limit_table("thermal_bodies").words,
        from_memory=True,
        parts=tuple(names),
        remedy='tell the body by its usual name, such as package = "SOT-23"',
    )


MEMBERS = (
    HazardCheck(
        name="junction heat",
        title="Heat inside parts",
        look=_look,
        says="How hot the junction of each diode, light-emitting diode, transistor and regulator gets by its own power.",
        source="T = T_air + P·R by body; common practice, no source",
        cautions=("heat",),
        not_checked=(
            "heat from neighbouring parts",
            "copper areas and heat sinks",
            "parts below 10 mW, and kinds without a junction",
        ),
    ),
)
