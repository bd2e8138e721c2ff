"""Single faults: each part open or shorted, each neighbouring pair of pins bridged, each button held, ranked."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from lidoff.circuit import in_force, kind_of
from lidoff.evidence import Severity, titled
from lidoff.hazards.check import Hazard, HazardCheck
from lidoff.hazards.fault_effect import FaultEffect
from lidoff.hazards.joins import dangerous_nets
from lidoff.hazards.limits import FROM_MEMORY
from lidoff.hazards.single_faults import blind_situations
from lidoff.hazards.subject import Subject, alternating_supplies
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS", "MOST_TOLD"]

MOST_TOLD = 6
"""So many faults are told one by one."""
GRAVE = {
    "W": 3.0,
    "A": 3.0,
    "V": 1.3,
}  # times a told rating: what fails there fails hot, or bursts; common practice, no source
AT_ONCE = 20.0  # times a power rating: nothing of the size lasts a minute there; common practice, no source
SOURCE = "ratings as told, else typical for kind and body; no limit for faults beyond"


def _look(subject: Subject) -> tuple[Hazard, ...]:
    effects = subject.fault_effects
    if not effects:
        return tuple(_too_large(subject))
    bad = _likewise(subject, _alike([effect for effect in effects if effect.weight > 0.0]))
    return (
        *(_told(group[0], [one.title for one in group[1:]]) for group in bad[:MOST_TOLD]),
        *_rest(subject, effects, [group[0] for group in bad]),
    )


def _alike(effects: Sequence[FaultEffect]) -> list[FaultEffect]:
    """Bridges between the same two nets are one fault; all that may make it are named."""
    found: dict[object, FaultEffect] = {}
    titles: dict[object, list[str]] = {}
    for effect in effects:
        key = effect.joins or effect.title
        found.setdefault(key, effect)
        titles.setdefault(key, []).append(effect.title)
    return [
        replace(effect, title=listed(titles[key]).replace(" and ", " or ")) for key, effect in found.items()
    ]


def _likewise(subject: Subject, effects: Sequence[FaultEffect]) -> list[list[FaultEffect]]:
    """Faults of equal parts that do the same to equal parts, such as each ballast of a ring of lamps, told as one."""
    found: dict[object, list[FaultEffect]] = {}

    kinds = {part.reference: part.kind for part in subject.circuit.parts}

    for effect in effects:
        # Titles are alike where only the references differ.
        how = tuple(kinds.get(word.strip(","), word) for word in effect.title.split())
        loads = tuple(
            (kinds[one.reference], one.rating, f"{one.load:.2g}", one.limit) for one in effect.overloads
        )
        key = (how, effect.situation, loads, effect.fuses, effect.cell, effect.live)
        found.setdefault(key, []).append(effect)
    return list(found.values())


def _too_large(subject: Subject) -> Iterator[Hazard]:
    if subject.place and any(len(part.pins) > 1 for part in subject.circuit.parts):
        yield Hazard(
            check="single faults",
            title="single faults",
            outcome="cannot tell",
            severity="note",
            what="No fault was followed: nothing feeds the circuit in any situation, or it is too large for a quick look.",
            remedy="add a situation with a supply",
        )


def _severity(effect: FaultEffect) -> Severity:
    if effect.live or effect.cell:
        return "caution"
    stopped = any("opens" in words or "trips" in words for words in effect.fuses)
    worst = effect.overloads[0]
    grave = worst.told and worst.share >= GRAVE[worst.unit]
    at_once = worst.unit == "W" and worst.share >= AT_ONCE  # whatever its rating may be
    return "caution" if (grave or at_once) and not stopped else "note"


def _told(effect: FaultEffect, likewise: Sequence[str]) -> Hazard:
    parts = [effect.reference, *(one.reference for one in effect.overloads[:3])]
    value = limit = None
    says = ""
    if effect.overloads:
        worst = effect.overloads[0]
        value, limit = Quantity(worst.load, worst.unit), Quantity(worst.limit, worst.unit)
        says = f"{worst.rating.replace('_', ' ')} of {worst.reference}" + (
            "" if worst.told else ", typical for its kind or body"
        )
    return Hazard(
        check="single faults",
        title=f"{effect.title}: {_outcome(effect)}" + (f"; {len(likewise)} more alike" if likewise else ""),
        outcome="beyond the limit",
        severity=_severity(effect),
        what=_what(effect) + (f" The same goes for {listed(likewise)}." if likewise else ""),
        value=value,
        limit=limit,
        limit_says=says,
        source=f"IEC 62368-1:2018, Table 4 ({FROM_MEMORY})" if effect.live else SOURCE,
        from_memory=bool(effect.live) or not (effect.overloads and effect.overloads[0].told),
        assumed=(
            "one fault at a time, for as long as it lasts, other parts at their nominal values and still whole",
            *(
                ("an alternating supply stands at its crest; half of the power there is taken as the mean",)
                if effect.crest
                else ()
            ),
            *(("followed over a period, once all has settled",) if effect.period else ()),
            *(
                f"{name}, of which no limit is told, gives {format_quantity(Quantity(amperes, 'A'), digits=2)} into a short"
                for name, amperes in effect.ample
            ),
        ),
        parts=tuple(dict.fromkeys(parts)),
        situations=(effect.situation,) if effect.situation else (),
        remedy="see what opens first; a fuse, or a resistor made to fail open, belongs in the way",
    )


def _outcome(effect: FaultEffect) -> str:
    if effect.live:
        return f"{listed(effect.live)} within reach"
    if effect.cell:
        return effect.cell
    names = [one.reference for one in effect.overloads]
    return f"{listed(names)} over {'its rating' if len(names) == 1 else 'their ratings'}"


def _what(effect: FaultEffect) -> str:
    told = [
        f"{one.reference} {'stands at' if one.unit == 'V' else 'takes'} "
        f"{format_quantity(Quantity(one.load, one.unit), digits=2)} of "
        f"{format_quantity(Quantity(one.limit, one.unit))}"
        + (" and fails in moments" if one.unit == "W" and one.share >= AT_ONCE else "")
        for one in effect.overloads[:3]
    ]
    parts = []
    if effect.live:
        parts.append(f"{listed(effect.live)} can be touched")
    if effect.cell:
        parts.append(effect.cell)
    if told:
        parts.append(listed(told))
    if len(effect.overloads) > 3:
        parts.append(f"{len(effect.overloads) - 3} more parts are over a rating")
    parts.append(listed(effect.fuses) if effect.fuses else "no fuse opens")
    if effect.ample:
        parts.append(
            f"counted is that {listed([name for name, _ in effect.ample])}, of which no limit is told, gives no more than "
            + listed([format_quantity(Quantity(amperes, "A"), digits=2) for _, amperes in effect.ample])
        )
    return f"With {effect.title} in {titled(effect.situation)}: {'; '.join(parts)}."


def _rest(subject: Subject, effects: Sequence[FaultEffect], bad: Sequence[FaultEffect]) -> Iterator[Hazard]:
    lost = [effect.title for effect in effects if not effect.settled]
    quiet = sum(effect.weight == 0.0 and effect.settled for effect in effects)
    looked = tuple(dict.fromkeys(effect.situation for effect in effects if effect.situation))
    left = [name for name in subject.situations if name not in looked]
    what = (
        f"{len(effects)} faults were followed, {quiet} of which drive no other part over a rating"
        + (f"; the worst {MOST_TOLD} of the rest are told one by one" if len(bad) > MOST_TOLD else "")
        + "."
    )
    if len(bad) > MOST_TOLD:
        what += f" The others: {listed([effect.title for effect in bad[MOST_TOLD:]])}."
    yield Hazard(
        check="single faults",
        title=f"{quiet} of {len(effects)} single faults drive no other part over a rating",
        outcome="within the limit",
        severity="note",
        what=what,
        source=SOURCE,
        assumed=(
            f"the worst of the situations looked at; none is worst in {listed([titled(one) for one in left])}",
        )
        if left
        else (),
        situations=looked,
    )
    unseen = blind_situations(subject)
    stood = {name: in_force(subject.circuit, subject.situations[name]) for name in unseen}
    blind = tuple(name for name in unseen if not stood[name])
    yield from _stood_for(subject, {name: tuple(stood[name]) for name in unseen if stood[name]})
    yield from _blind(subject, blind)
    if lost:
        yield Hazard(
            check="single faults",
            title=f"no operating point with {listed(lost)}",
            outcome="cannot tell",
            severity="note",
            what=f"With {listed(lost)} no operating point was found in one situation or more.",
            source=SOURCE,
            remedy="see by hand what these do: nothing is known of them",
        )


def _blind(subject: Subject, blind: Sequence[str]) -> Iterator[Hazard]:
    """Situations in which a supply that stands still feeds too little; told apart by what feeds them."""
    mains = set(dangerous_nets(subject.circuit))
    fed: dict[tuple[str, ...], list[str]] = {}
    for name in blind:
        situation = subject.situations[name]
        feeding = alternating_supplies(subject.circuit, situation)
        live = any(mains & set(one.pins.values()) for one in feeding)
        fed.setdefault(() if live else tuple(one.reference for one in feeding), []).append(name)
    for supplies, names in fed.items():
        where, by = listed([titled(one) for one in names]), listed(supplies) or "the mains"
        what, remedy = (
            _swinging(by, len(supplies)) if _has_crest(subject, supplies) else _pulsing(by, len(supplies))
        )
        yield Hazard(
            check="single faults",
            title=f"faults in {where}",
            outcome="cannot tell",
            severity="caution",
            what=f"In {where} {what}",
            source=SOURCE,
            parts=supplies,
            situations=tuple(names),
            remedy=remedy,
        )


def _has_crest(subject: Subject, supplies: Sequence[str]) -> bool:
    """Whether all supplies can be set to their crest; the mains, with no supply named, can."""
    parts = [subject.circuit.part(reference) for reference in supplies]
    return all("phase" in kind_of(part).parameters_of(part) for part in parts)


def _swinging(by: str, count: int) -> tuple[str, str]:
    return (
        f"{by} {'feeds' if count == 1 else 'feed'} the circuit through capacitors or windings. Faults are followed with the "
        "supply standing still at its crest, where these pass nothing, and breaks of the parts that take most power over a "
        "period; what other failures do behind them is not seen.",
        "add a steady supply of the same mean, and name what it stands for: stands_for = […], "
        f"{by} and {'its' if count == 1 else 'their'} capacitors among it",
    )


def _pulsing(by: str, count: int) -> tuple[str, str]:
    return (
        f"{by} {'feeds' if count == 1 else 'feed'} the circuit in pulses. Faults are followed with {by} standing still as at "
        "0 s, where the parts get little of the power that they have over a period, so what a failure does in between is not "
        "seen.",
        f"add a situation that holds {by} at the top, with low as high as high",
    )


def _stood_for(subject: Subject, standing: Mapping[str, tuple[str, ...]]) -> Iterator[Hazard]:
    """What is seen of failures where a stand-in feeds the circuit on average, and what is not."""
    circuit = subject.circuit
    groups: dict[tuple[str, ...], list[str]] = {}
    for name, stand_ins in standing.items():
        groups.setdefault(stand_ins, []).append(name)
    for stand_ins, situations in groups.items():
        where = listed([titled(one) for one in situations])
        parts = tuple(
            dict.fromkeys(
                name
                for one in stand_ins
                for name in circuit.part(one).stands_for
                if not kind_of(circuit.part(name)).supplies
            )
        )
        if not parts:
            continue
        yield Hazard(
            check="single faults",
            title=f"faults of {listed(parts)} in {where}",
            outcome="cannot tell",
            severity="caution",
            what=f"In {where} faults of the other parts are followed with {listed(stand_ins)} in place of {listed(parts)}. "
            "Of their own faults only what shows with the mains standing still at its crest is seen, where capacitors and "
            "windings pass nothing.",
            source=SOURCE,
            parts=parts,
            situations=tuple(situations),
            remedy="work out by hand what each does, or follow its waveform with the part shorted or taken out",
        )


MEMBERS = (
    HazardCheck(
        name="single faults",
        title="Single faults",
        look=_look,
        says="What overheats, becomes live, blows or drains when one part fails or a button is held, worst first.",
        source="ratings as told, else typical for kind and body; fuses after IEC 60127-2, from memory",
        cautions=("heat",),
        not_checked=(
            "two faults at once, and what a first failure leads to",
            "faults of supplies from outside",
            "how long a part lasts, and whether it burns",
            "waveforms after a fault",
        ),
    ),
)
