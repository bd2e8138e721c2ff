"""Explanations and proposed readings in the words of the bench."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from lidoff.circuit import Circuit
from lidoff.evidence import AcrossPart, InPart, NetVoltage
from lidoff.insight.believed import Believed
from lidoff.insight.candidates import Candidate
from lidoff.insight.next_reading import NextReading, Outcome
from lidoff.insight.slip import all_slip_kinds
from lidoff.insight.slips import SlipRanking
from lidoff.insight.watched import DeadTest
from lidoff.insight.wording import told_parts
from lidoff.quantities import Quantity, format_quantity

__all__ = [
    "look_again",
    "odds_words",
    "outcome_words",
    "outcomes_words",
    "reading_cautions",
    "reading_how",
    "reading_title",
    "slip_title",
    "slip_why",
]

CERTAIN = 0.999
FAINT = 0.001
HUGE = 1e6
BEFORE_DEAD_TEST = (
    "Before any reading without power: unplug it, take cells out, discharge capacitors through a resistor, and check with a "
    "meter that nothing is left."
)
BEFORE_LIVE = (
    "Live mains can kill: read it only behind an isolating transformer and a residual-current device, leads clipped on before "
    "switching on, and leave it to those licensed for it where you live."
)


def odds_words(probability: float) -> str:
    """Probability as a person reads it.

    Parameters
    ----------
    probability : float
        From 0 to 1.

    Returns
    -------
    str
        In per cent, not more exact than it can be.

    Examples
    --------
    >>> odds_words(0.7771), odds_words(0.004), odds_words(0.99999)
    ('78 %', '0.4 %', 'over 99.9 %')
    """
    if probability > CERTAIN:
        return "over 99.9 %"
    if probability < FAINT:
        return "under 0.1 %"
    percent = 100.0 * probability
    return f"{percent:.1f} %" if percent < 1.0 or percent > 99.0 else f"{percent:.0f} %"


def slip_title(one: Believed) -> str:
    """What is wrong, with the value of a part that was missed, or that a part has instead of the one written."""
    if one.value is not None:
        return f"{one.title}: {format_quantity(one.value)} fits"
    added = [part for slip in one.slips for part in slip.variant.added if part.kind == "resistor"]
    if not added:
        return one.title
    ohms = format_quantity(Quantity(float(added[0].values["resistance"]), "Ω"))
    return one.title.replace("a resistor between", f"a resistor of about {ohms} between")


def slip_why(one: Believed, ranking: SlipRanking) -> str:
    """Why it is believed as much, in a sentence."""
    numbers = ranking.numbers
    readings = f"{numbers} reading{'' if numbers == 1 else 's'}"
    none = next((other for other in ranking.explanations if other.kind == "none"), None)
    before = ranking.chi_square
    if one.kind == "none":
        return f"The circuit as traced leaves a misfit of χ² = {one.chi_square:.1f} over {readings}."
    if not one.is_seen:
        return "No reading so far speaks for it or against it."
    if one.gain < 0.0:
        return "The readings speak against it, though not enough to leave it out."
    times = math.exp(min(one.gain, 700.0))
    told = "more than a million" if times > HUGE else f"{times:,.0f}" if times >= 10.0 else f"{times:.1f}"
    falls = f"; the misfit falls from χ² = {before:.1f} to {one.chi_square:.1f} over {readings}"
    doubt = "" if none is not None else ", which by themselves all but rule out the circuit as traced"
    return f"It makes the readings {told} times likelier{doubt}{falls}."


def look_again(one: Believed) -> str:
    """What to look at again, without any meter; empty where there is nothing."""
    kinds = all_slip_kinds()
    told = [
        kinds[slip.kind].look.format(
            parts=told_parts(slip.parts) or "it",
            nets=" and ".join(slip.nets) or "them",
            readings=" and ".join(name.replace("_", " ") for name in slip.readings) or "it",
        )
        for slip in one.slips
    ]
    if one.kind == "value":
        told = [f"measure {told_parts(one.parts)} by itself, or compare it with its maker's sheet"]
    if one.kind == "reading":
        told = [f"take {' and '.join(one.readings).replace('_', ' ')} once more"]
    return "; ".join(told)


def reading_title(candidate: Candidate, titles: Mapping[str, str] | None = None) -> str:
    """What to measure, in a few words; situations by their titles, if these are given by name."""
    target, name = candidate.watched.target, candidate.watched.situation
    where = f", {(titles or {}).get(name) or name}" if name else ", without power"
    if isinstance(target, DeadTest):
        what = {
            "resistance": "resistance between {red} and {black}",
            "diode": "diode range, red on {red}, black on {black}",
            "continuity": "beep between {red} and {black}",
        }[target.range_name]
        return what.format(red=target.red, black=target.black) + where
    return f"{target}{where}"


def reading_how(candidate: Candidate, circuit: Circuit) -> str:
    """How to take it, in a sentence; `reading_cautions` tells what could hurt."""
    target = candidate.watched.target
    told: list[str] = []
    if isinstance(target, DeadTest):
        if target.range_name != "continuity":
            told.append(f"Red on {_place(circuit, target.red)}, black on {_place(circuit, target.black)}.")
    elif isinstance(target, NetVoltage):
        against = target.against or circuit.ground
        told.append(f"Red on {_place(circuit, target.net)}, black on {_place(circuit, against)}.")
    elif isinstance(target, AcrossPart):
        told.append(f"Both probes on the ends of {target.reference}.")
    elif isinstance(target, InPart) and candidate.sort == "supply current":
        told.append(f"Put the meter into the lead of {target.reference}.")
    else:
        reference = target.reference
        told.append(f"Lift one end of {reference} or break its joint, and put the meter into the gap.")
    return " ".join(told)


def reading_cautions(candidates: Sequence[Candidate]) -> tuple[str, ...]:
    """What to mind before taking any of these readings."""
    told = []
    if any(one.dead for one in candidates):
        told.append(BEFORE_DEAD_TEST)
    if any(one.live for one in candidates):
        told.append(BEFORE_LIVE)
    return tuple(told)


def _place(circuit: Circuit, place: str) -> str:
    pins = circuit.nets.get(place)
    return f"{place} (such as {pins[0]})" if pins else place


def outcome_words(outcome: Outcome, candidate: Candidate) -> str:
    """What the display would show."""
    target = candidate.watched.target
    if isinstance(target, DeadTest):
        if target.range_name == "continuity":
            return "it beeps" if outcome.sign > 0.5 else "it stays silent"
        if outcome.sign > 0.5:
            return "over range"
    return format_quantity(Quantity(outcome.value, target.unit, outcome.deviation))


def outcomes_words(reading: NextReading, most: int = 4) -> Sequence[tuple[str, str, float]]:
    """What a reading may come to.

    Parameters
    ----------
    reading : NextReading
        Before it is taken.
    most : int, optional
        Outcomes that are told.

    Returns
    -------
    sequence of (str, str, float)
        What would be shown, which explanation that speaks for, and how probable it is; the most probable first.
    """
    if len(reading.outcomes) == 1:
        shows = outcome_words(reading.outcomes[0], reading.candidate)
        return [(shows, "whatever is wrong; how far off it lies shifts the balance", 1.0)]
    told = []
    for outcome in reading.outcomes[:most]:
        first = outcome.explanations[0]
        more = len(outcome.explanations) - 1
        tail = f", or {more} other{'' if more == 1 else 's'}" if more else ""
        told.append((outcome_words(outcome, reading.candidate), first + tail, outcome.probability))
    return told
