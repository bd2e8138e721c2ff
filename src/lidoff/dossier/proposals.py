"""Explanations and proposed readings in words, as commands, pages and programs show them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from lidoff.circuit import Circuit
from lidoff.evidence import AcrossPart, InPart, NetVoltage
from lidoff.insight import (
    Believed,
    DeadTest,
    Family,
    NextReading,
    NextReadings,
    SlipRanking,
    families_of,
    look_again,
    odds_words,
    outcomes_words,
    reading_how,
    reading_title,
    slip_title,
    slip_why,
    strains_as_traced,
)

__all__ = ["Proposal", "next_summary", "proposal_json", "reading_proposal", "slip_proposal", "slip_summary"]

LEAST_BITS = 0.02
MOST_AGAIN = 2
"""Readings that are named as worth taking again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """One explanation or one reading to take, in words.

    Attributes
    ----------
    title : str
        What it is.
    why : str
        Why it is believed, or what the reading would tell.
    more : str
        What to look at again, or how to take the reading.
    outcomes : tuple of (str, str, float)
        Of a reading: what would be shown, what that speaks for, and how probable it is.
    probability : float
        Of an explanation; of a reading 0.
    bits : float
        That a reading is expected to tell; of an explanation 0.
    minutes : float
        Effort of a reading.
    parts, nets, readings : tuple of str
        What it is about.
    """

    title: str
    why: str
    more: str = ""
    outcomes: tuple[tuple[str, str, float], ...] = ()
    probability: float = 0.0
    bits: float = 0.0
    minutes: float = 0.0
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()


def proposal_json(one: Proposal) -> dict[str, object]:
    """Proposal for programs and pages."""
    return {
        "title": one.title,
        "why": one.why,
        "more": one.more,
        "outcomes": [
            {"shows": shows, "speaks_for": speaks_for, "probability": probability}
            for shows, speaks_for, probability in one.outcomes
        ],
        "probability": one.probability,
        "bits": one.bits,
        "minutes": one.minutes,
        "parts": list(one.parts),
        "nets": list(one.nets),
        "readings": list(one.readings),
    }


def slip_proposal(family: Family, ranking: SlipRanking) -> Proposal:
    """Explanations that say one thing, in words."""
    one = family.first
    if len(family.members) > 1:
        ways = "; ".join(f"{slip_title(member)} ({odds_words(member.probability)})" for member in family.told)
        left = len(family.members) - len(family.told)
        alike = f" In order: {ways}{f'; {left} more' if left > 0 else ''}."
    else:
        alike = f" No reading can tell it from: {'; '.join(one.alike[:4])}." if one.alike else ""
    look = look_again(one)
    return Proposal(
        title=_sentence(_title(family)),
        why=slip_why(one, ranking),
        more=(f"{_sentence(look)}." if look else "") + alike,
        probability=family.probability,
        parts=tuple(dict.fromkeys(name for member in family.told for name in member.parts)),
        nets=tuple(dict.fromkeys(name for member in family.told for name in member.nets)),
        readings=one.readings,
    )


def reading_proposal(one: NextReading, circuit: Circuit, titles: Mapping[str, str]) -> Proposal:
    """Reading to take in words, situations by their titles."""
    told = []
    if one.about_slips > LEAST_BITS:
        told.append(f"{one.about_slips:.2f} bit about what is wrong")
    if one.narrows:
        told.append(f"{one.narrows} to {100.0 * one.narrowed_to:.0f} % of its present uncertainty")
    target = one.candidate.watched.target
    return Proposal(
        title=_sentence(reading_title(one.candidate, titles)),
        why=f"Expected to tell {', and narrow '.join(told)}, for about {one.candidate.minutes:g} min."
        if one.about_slips > LEAST_BITS
        else f"Expected to narrow {told[0]}, for about {one.candidate.minutes:g} min."
        if told
        else "",
        more=reading_how(one.candidate, circuit),
        outcomes=tuple(outcomes_words(one)),
        bits=one.bits,
        minutes=one.candidate.minutes,
        parts=(target.reference,) if isinstance(target, AcrossPart | InPart) else (),
        nets=_nets(target, circuit),
    )


def _nets(target: object, circuit: Circuit) -> tuple[str, ...]:
    if isinstance(target, NetVoltage):
        return (target.net,)
    if isinstance(target, DeadTest):
        return tuple(net for net in (target.red, target.black) if net in circuit.nets)
    return ()


def slip_summary(ranking: SlipRanking, told: Sequence[Believed]) -> tuple[str, ...]:
    """What came out about slips, in a few sentences."""
    family = families_of(ranking.scene.circuit, told)[0]
    first = family.first
    found = [
        f"{ranking.looked_at} single slips, and the likeliest pairs, held against {ranking.readings} readings and beeps."
    ]
    if first.kind == "none" and first.probability > 0.5:
        found.append(f"Most likely nothing is wrong: {odds_words(ranking.no_slip)}.")
    elif first.kind == "none":
        found.append(f"That nothing is wrong is the likeliest, but only {odds_words(ranking.no_slip)}.")
    elif first.kind == "unlisted":
        found.append("No slip on the list explains these readings; look at what the circuit leaves out.")
    else:
        found.append(f"Likeliest: {_title(family)} ({odds_words(family.probability)}).")
    silent = [one for one in told if not one.is_seen and one.kind != "none"]
    if silent:
        share = odds_words(sum(one.probability for one in silent))
        found.append(
            f"{len(silent)} slips that no reading sees, such as that {silent[0].title}, share {share} among them."
        )
    return tuple(found)


def next_summary(ranking: SlipRanking, found: NextReadings) -> tuple[str, ...]:
    """What came out about readings to take, in a few sentences."""
    told = [f"{found.looked_at} readings weighed against {ranking.readings} already taken."]
    first = ranking.explanations[0]
    if first.kind not in ("none", "unlisted"):
        look = look_again(first)
        told.append(
            f"So far most likely: {slip_title(first)} ({odds_words(first.probability)})"
            + (f"; {look}." if look else ".")
        )
    if found.undecided > 0.1:
        told.append(f"{found.undecided:.1f} bit are open about what is wrong, if anything.")
    if found.live_left_out:
        count = found.live_left_out
        told.append(
            f"{count} reading{'s' if count > 1 else ''} on the live circuit {'are' if count > 1 else 'is'} left out: "
            "one without power, or at a low voltage, serves."
        )
    if not found.looked_at and first.kind == "unlisted":
        told.append(
            "No slip on the list, nor two at once, explains the readings so far, so nothing can be foreseen of further ones. "
            f"Take again what fits worst: {_worst(ranking)}."
        )
    elif not found.readings:
        told.append("No further reading would tell more than next to nothing.")
    return tuple(told)


def _worst(ranking: SlipRanking) -> str:
    """Readings that lie farthest from what circuit and all others predict."""
    names = [
        f"{one.reading.replace('_', ' ')} ({abs(one.score):.3g} standard deviations off)"
        for one in strains_as_traced(ranking.scene)[:MOST_AGAIN]
    ]
    return " and ".join(names)


def _title(family: Family) -> str:
    return family.title if len(family.members) > 1 else slip_title(family.first)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]
