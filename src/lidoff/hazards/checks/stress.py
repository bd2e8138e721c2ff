"""Whether parts run over their ratings, or beyond what designers usually take of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from lidoff.circuit import kind_of, settings_of, with_article
from lidoff.evidence import Severity, titled
from lidoff.hazards.check import Hazard, HazardCheck, Outcome, at_most
from lidoff.hazards.fuses import fuse_at
from lidoff.hazards.limits import limit_table
from lidoff.hazards.stress import Stress, Unfixed, unfixed_of
from lidoff.hazards.subject import Subject
from lidoff.hazards.watching import is_fuse
from lidoff.hazards.words import listed
from lidoff.quantities import format_quantity

__all__ = ["MEMBERS", "NEAR"]

NEAR = 0.8
"""Share of a rating from which a part is said to run near it; common practice, no source."""

NOTHING = 5e-4
"""Share of a rating below which no load is told: leakage and the solver's own least conductance come to no more."""

_Level = Literal["over", "usual", "kept"]


def _look(subject: Subject) -> tuple[Hazard, ...]:
    flagged: dict[tuple[object, ...], list[Stress]] = {}
    kept = []
    for stress in subject.stresses:
        level, outcome = _level(stress)
        if level == "kept":
            kept.append(stress)
            continue
        kind = subject.circuit.part(stress.reference).kind
        key = (kind, stress.rating, stress.limit.value, stress.basis, stress.seen, level, outcome)
        flagged.setdefault(key, []).append(stress)
    return (
        *_untold(subject),
        *_unfixed(unfixed_of(subject)),
        *(_flagged(subject, group) for group in flagged.values()),
        *_kept(kept, sum(len(group) for group in flagged.values())),
    )


def _level(stress: Stress) -> tuple[_Level, Outcome]:
    against_rating = at_most(stress.load, stress.limit)
    if against_rating != "within the limit":
        return "over", against_rating
    if at_most(stress.load, stress.usual_limit) == "beyond the limit":
        return "usual", "beyond the limit"
    return "kept", "within the limit"


def _severity(stress: Stress, level: _Level) -> Severity:
    if level == "over":
        return "fault" if stress.told else "caution"
    return "caution" if stress.told and stress.share >= NEAR else "note"


def _flagged(subject: Subject, group: Sequence[Stress]) -> Hazard:
    """One answer for parts of a kind that share limit and outcome; the worst is told in full."""
    worst = group[0]
    level, outcome = _level(worst)
    names = [one.reference for one in group]
    rating = worst.rating.replace("_", " ")
    title = kind_of(subject.circuit.part(worst.reference)).title
    beyond = f"beyond usual derating of the {rating}"
    above = "over" if outcome == "beyond the limit" else "near or over"
    between = (
        f" between {' and '.join(pin.replace('_', ' ') for pin in worst.contact)}" if worst.contact else ""
    )
    where = f"{worst.seen} in {titled(worst.situation)}"
    what = (
        f"{worst.reference} sees {format_quantity(worst.load)}{between} ({where}), {100 * worst.share:.0f} % of its "
        f"{rating} of {format_quantity(worst.limit)}" + (f", {worst.basis}" if worst.basis else "")
    )
    if len(group) > 1:
        what += f"; so do, less or alike, {listed(names[1:])}"
    fuse = _as_fuse(subject, worst)
    usual = f"{100 * worst.usual:.0f} % of the {rating} of {with_article(title)}, the usual derating"
    return Hazard(
        check="stress",
        title=f"{listed(names)} {above} the {rating}" if level == "over" else f"{listed(names)} {beyond}",
        outcome=outcome,
        severity=_severity(worst, level),
        what=f"{what}.{f' At that it {fuse}.' if fuse else ''}",
        value=worst.load,
        limit=worst.limit if level == "over" else worst.usual_limit,
        limit_says=f"{rating} as told"
        if level == "over" and worst.told
        else rating
        if level == "over"
        else usual,
        source="told in the dossier, from print or data sheet"
        if level == "over" and worst.told
        else worst.basis
        if level == "over"
        else limit_table("derating").words,
        from_memory=level != "over" or not worst.told,
        assumed=_assumed(worst),
        parts=tuple(names),
        situations=tuple(dict.fromkeys(one.situation for one in group)),
        remedy=_remedy(worst, level, fuse),
    )


def _as_fuse(subject: Subject, stress: Stress) -> str:
    """What a fuse does at the current that it sees; empty for other parts."""
    part = subject.circuit.part(stress.reference)
    if not is_fuse(part) or stress.load.unit != "A":
        return ""
    settings = subject.situations[stress.situation].settings.get(part.reference)
    return fuse_at(settings_of(part, settings), stress.load.value)


def _remedy(worst: Stress, level: _Level, fuse: str) -> str:
    if fuse:
        expected = {"opens": "expect it to open", "trips": "expect it to trip"}.get(
            fuse.partition(" ")[0].strip(","), "expect that it may open at any time"
        )
        return (
            f"{expected}, and find why the current is so large; a larger fuse would take the protection away"
        )
    if not worst.told:
        return f"find the part's own rating and add {worst.rating} to it"
    if level == "over":
        return "expect it to fail first; a larger part, or less load on it, would keep to the rating"
    return "expect it to live shorter than it might"


def _assumed(stress: Stress) -> tuple[str, ...]:
    if stress.seen == "at rest":
        return ("values spread as told or typical, to first order",)
    return ("parts at their nominal values, supplies with their spread",)


def _untold(subject: Subject) -> Iterator[Hazard]:
    for repeating in subject.repeating:
        if repeating.waveforms is None:
            yield Hazard(
                check="stress",
                title=f"loads in {titled(repeating.situation.name)}",
                outcome="cannot tell",
                severity="caution",
                what=f"No waveform was found for {titled(repeating.situation.name)} ({repeating.why}), so the loads there "
                "are not known.",
                situations=(repeating.situation.name, *repeating.stands_for),
                remedy="look at a situation with a steady supply, or tell a start",
            )


def _unfixed(unfixed: Sequence[Unfixed]) -> Iterator[Hazard]:
    """One answer for all voltages that hang on nets which nothing fixes."""
    if not unfixed:
        return
    names = tuple(dict.fromkeys(one.reference for one in unfixed))
    nets = tuple(sorted({net for one in unfixed for net in one.nets}))
    worst = max(unfixed, key=lambda one: one.most.value)
    shared = f"how {listed(names)} share the voltage" if len(names) > 1 else f"what {names[0]} bears"
    limits = dict.fromkeys(
        f"{one.reference} {format_quantity(one.limit)}{'' if one.told else ' (typical)'}" for one in unfixed
    )
    yield Hazard(
        check="stress",
        title=f"voltage on {listed(names)}",
        outcome="cannot tell",
        severity="caution" if any(one.told for one in unfixed) else "note",
        what=f"Nothing fixes {listed(nets)} in {titled(worst.situation)}, so {shared} is not known: {worst.reference} may see "
        f"up to {format_quantity(worst.most)}. The ratings are lower: {listed(tuple(limits))}. "
        "Only leakage decides there; that of electrolytic capacitors differs from one to the next.",
        limit=worst.limit,
        limit_says=f"{worst.rating.replace('_', ' ')}{' as told' if worst.told else ''}",
        source="told in the dossier, from print or data sheet" if worst.told else "typical for its kind",
        from_memory=not worst.told,
        assumed=("what is not tied stands neither all above nor all below the rest",),
        parts=names,
        nets=nets,
        situations=tuple(dict.fromkeys(one.situation for one in unfixed)),
        remedy="look for resistors across each that share it, or a part or joint that was missed; else tell what leaks: "
        "leakage_resistance of each capacitor",
    )


def _kept(kept: Sequence[Stress], flagged: int) -> Iterator[Hazard]:
    if not kept:
        return
    nearest = kept[0]
    told = sum(one.told for one in kept)
    rating = nearest.rating.replace("_", " ")
    basis = "" if nearest.told else f" of {format_quantity(nearest.limit)}, {nearest.basis}"
    others = "no other part" if not flagged else "of the rest, no part"
    nearness = (
        f"{others} is nearer than {nearest.reference}, with {format_quantity(nearest.load)} in {titled(nearest.situation)}, "
        f"{100 * nearest.share:.0f} % of its {rating}{basis}"
        if nearest.share >= NOTHING
        else "none of them comes near a thousandth of its rating"
    )
    yield Hazard(
        check="stress",
        title=f"{len(kept)} loads within rating and usual derating",
        outcome="within the limit",
        severity="note",
        what=f"{len(kept)} loads were held against ratings, {told} of them told and {len(kept) - told} typical for kind or "
        f"body; {nearness}.",
        value=nearest.load,
        limit=nearest.usual_limit,
        limit_says=f"{100 * nearest.usual:.0f} % of its {rating}, the usual derating",
        source=limit_table("derating").words,
        from_memory=True,
        parts=tuple(dict.fromkeys(one.reference for one in kept)),
        situations=tuple(dict.fromkeys(one.situation for one in kept)),
    )


MEMBERS = (
    HazardCheck(
        name="stress",
        title="Stress of parts",
        look=_look,
        says="Each part's volts, amperes and watts against its ratings and the usual derating, in every situation.",
        source="ratings as told, else typical for kind and body; derating after common practice, no source",
        cautions=(),
        not_checked=(
            "edges, surges and spikes shorter than what was solved",
            "ratings lowered by heat",
            "coils of relays against what their windings stand",
            "situations that the dossier does not tell",
        ),
    ),
)
