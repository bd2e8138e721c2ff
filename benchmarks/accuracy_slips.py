"""How truly slips are found, on slips made on purpose, as a section of text.

``python -m benchmarks.accuracy_slips`` prints it; ``slips`` or ``none`` behind it run one half only, and two numbers every so
many cases only, such as ``slips 0 2`` and ``slips 1 2`` beside each other. Cases that are done are recorded.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from benchmarks.records import recorded
from lidoff.insight import Believed, Slip, all_slip_kinds, families_of, rank_slips
from lidoff.insight.families import WAYS
from tests.slipped.bench import bench_of, readings_of, slips_that_show, usual_readings
from tests.slipped.gadgets import all_gadgets

__all__ = ["Alarm", "Trial", "alarms", "section", "told", "trials"]

CASES = 300
SEED = 8117
TRIED_SEED, TRIED = 7031, 60
"""Cases on which odds and approximations were settled; not among those that are told."""
ALIKE = 0.5
"""Difference of two logarithms of likelihood below which readings do not tell two explanations apart; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One slip made on purpose, and where it came in the ranking; place 0 where it was not named.

    `told` is its place among the entries of `lidoff slips`, where the nets on which one pin may be stand in one entry.
    `alike` counts the explanations before it that the readings taken do not tell from it; only odds put them first.
    """

    gadget: str
    kind: str
    title: str
    place: int
    told: int
    alike: int
    probability: float
    first: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Alarm:
    """One device without a slip, what slip was believed most, and how much."""

    gadget: str
    first: str
    probability: float
    no_slip: float


def names(one: Believed, slip: Slip) -> bool:
    """Whether an explanation names a slip, by itself or as one that no reading can tell from it."""
    titles = {member.title for member in one.slips} | set(one.alike)
    return len(one.slips) == 1 and slip.title in titles


def trial(number: int, seed: int = SEED) -> Trial:
    """Make one slip, read the device, and look for the slip."""
    gadget = all_gadgets()[number % len(all_gadgets())]
    draw = random.Random(f"{seed}, {number}, {gadget.name}")
    asked = usual_readings(gadget, draw)
    slip, _, watched = slips_that_show(gadget, asked, draw, f"{seed}, {number}")
    ranking = rank_slips(gadget.circuit, gadget.situations, watched).explanations
    families = families_of(gadget.circuit, ranking)
    place = next((place for place, one in enumerate(ranking, start=1) if names(one, slip)), 0)
    found = ranking[place - 1] if place else None
    return Trial(
        gadget=gadget.name,
        kind=slip.kind,
        title=slip.title,
        place=place,
        told=next(
            (
                number
                for number, family in enumerate(families, start=1)
                if any(names(one, slip) for one in family.told)
            ),
            0,
        ),
        alike=sum(one.gain - found.gain < ALIKE for one in ranking[: place - 1]) if found else 0,
        probability=found.probability if found else 0.0,
        first=ranking[0].title,
    )


def alarm(number: int, seed: int = SEED) -> Alarm:
    """Read a device without a slip, and look for one."""
    gadget = all_gadgets()[number % len(all_gadgets())]
    draw = random.Random(f"{seed}, none, {number}, {gadget.name}")
    asked = usual_readings(gadget, draw)
    bench = bench_of(gadget, None, f"{seed}, none, {number}")
    ranking = rank_slips(gadget.circuit, gadget.situations, readings_of(bench, gadget, asked))
    families = families_of(gadget.circuit, ranking.explanations)
    first = next((one for one in families if one.first.slips), None)
    return Alarm(
        gadget=gadget.name,
        first=first.title if first else "",
        probability=first.probability if first else 0.0,
        no_slip=ranking.no_slip,
    )


def trials(numbers: Sequence[int] = range(CASES)) -> list[Trial]:
    """Trials, the gadgets in turn."""

    def work(key: str) -> dict[str, Any]:
        return asdict(trial(int(key.split()[1])))

    return [Trial(**one) for one in recorded("slips", [f"{SEED} {number}" for number in numbers], work)]


def alarms(numbers: Sequence[int] = range(CASES)) -> list[Alarm]:
    """Devices without a slip, the gadgets in turn."""

    def work(key: str) -> dict[str, Any]:
        return asdict(alarm(int(key.split()[1])))

    return [Alarm(**one) for one in recorded("no-slip", [f"{SEED} {number}" for number in numbers], work)]


def told(found: Sequence[Trial], quiet: Sequence[Alarm]) -> str:
    """Section of the page for trials with a slip, and for devices without one."""
    count = len(found)
    first, third = (sum(0 < one.told <= most for one in found) for most in (1, 3))
    lone_first, lone_third = (sum(0 < one.place <= most for one in found) for most in (1, 3))
    parted = sum(0 < one.place - one.alike <= 3 for one in found)
    alarmed = [one for one in quiet if one.probability > 0.5]
    rows = "\n".join(
        f"| {all_slip_kinds()[kind].title} | {len(own)} | {sum(one.told == 1 for one in own)} "
        f"| {sum(0 < one.told <= 3 for one in own)} | {sum(0 < one.place <= 3 for one in own)} |"
        for kind in sorted({one.kind for one in found})
        for own in [[one for one in found if one.kind == kind]]
    )
    short = (
        f"The aim is {CASES} of each; so few were run yet, and a share of {count} may be "
        f"{100.0 / count**0.5:.0f} per cent off (two standard deviations).\n"
        if min(count, len(quiet)) < CASES
        else ""
    )
    missed = "\n".join(
        f"- {one.gadget}: {one.title}. Told first: {one.first}; the true one "
        + (f"came {one.told}." if one.told else "was not named.")
        for one in found
        if not 0 < one.told <= 3
    )
    return f"""## Slips

{count} slips made on purpose on the ten circuits of `tests/slipped/` (the three demos and seven invented gadgets,
11 to 37 parts), the kinds drawn evenly. Every value is drawn within its tolerance; the device is then solved plainly,
each voltmeter in place, and read by a hand-held meter with an error of its own: up to 24 voltages, the supplies'
currents, up to 8 dead tests (the current of the diode range drawn from 0.4 to 1.6 mA) and 6 beeps. Slips that do not show
are drawn again: the readings must have a misfit beyond the 99.9 % point, or contradict a beep. A slip counts as found where
it is named by itself, or as one that makes the same circuit as the one named. Odds and approximations were settled on
{TRIED} other cases.
{short}
Often the readings taken fit several slips alike, such as a supply's pin that is on one of ten other nets: then odds alone
order them, and another reading is needed (`lidoff next`). So `lidoff slips` tells in one entry where a pin that is off its
net may be, the likeliest {WAYS} ways named; a slip in an entry counts only if it is among these. The second row counts
every way as an entry of its own, and the third one that way without those put before the true slip that make the readings
likelier by less than e^{ALIKE}.

| {count} slips | first | among the first three |
|---|---|---|
| as told (aims: 70 %, 90 %) | {first} ({first / count:.0%}) | {third} ({third / count:.0%}) |
| every way by itself | {lone_first} ({lone_first / count:.0%}) | {lone_third} ({lone_third / count:.0%}) |
| without those told alike | | {parted} ({parted / count:.0%}) |

False alarms, a slip above 50 % where there is none: {len(alarmed)} of {len(quiet)} devices
({len(alarmed) / len(quiet):.1%}; the aim is at most 5 %).

| kind | made | told first | told among three | by itself among three |
|---|---|---|---|---|
{rows}

Not told among the first three:

{missed or "- none"}
"""


def section() -> str:
    """Section of the page; cases that are recorded are not run again. All of them take some hours on two slow cores."""
    return told(trials(), alarms())


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    part = range(int(words[1]), CASES, int(words[2])) if len(words) > 2 else range(CASES)
    if words[:1] == ["slips"]:
        trials(part)
    elif words[:1] == ["none"]:
        alarms(part)
    else:
        print(section())
