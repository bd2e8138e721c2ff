"""How many readings it takes to be sure of a slip, chosen by rank and by chance, as a section of text.

``python -m benchmarks.accuracy_next`` prints it; two numbers behind it run every so many searches only, such as ``0 2`` and
``1 2`` beside each other. Searches that are done are recorded.
"""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from typing import Any

from benchmarks.accuracy_slips import names
from benchmarks.records import recorded
from lidoff.insight import Candidate, Slip, SlipRanking, Watched, rank_readings, rank_slips
from lidoff.insight.candidates import candidates_of
from tests.slipped.bench import Bench, shown_by, slips_that_show, usual_readings
from tests.slipped.gadgets import GADGETS, Gadget

__all__ = ["Race", "races", "section", "told"]

CASES = 28
SEED = 411
FIRST = 4
"""Readings at the start, drawn by chance."""
MOST = 16
"""Readings after which a search is given up, and counted as so many."""
SURE = 0.9


@dataclass(frozen=True, slots=True, kw_only=True)
class Race:
    """Readings that it took from the first few until the true slip was `SURE`, by rank and by chance."""

    gadget: str
    slip: str
    by_rank: int
    by_chance: int


def race(number: int) -> Race:
    """Search for one slip in both ways, from the same first readings."""
    gadget = GADGETS[number % len(GADGETS)]
    draw = random.Random(f"{SEED}, {number}, {gadget.name}")
    asked = usual_readings(gadget, draw)
    slip, bench, watched = slips_that_show(gadget, asked, draw, f"{SEED}, {number}")
    while slip.readings:  # a slip of the meter is not found by reading elsewhere
        slip, bench, watched = slips_that_show(gadget, asked, draw, f"{SEED}, {number}")
    powered = [one for one in watched if one.situation]
    start = draw.sample(powered, min(FIRST, len(powered)))
    return Race(
        gadget=gadget.name,
        slip=slip.title,
        by_rank=search(gadget, bench, slip, start, None),
        by_chance=search(gadget, bench, slip, start, draw),
    )


def search(
    gadget: Gadget, bench: Bench, slip: Slip, start: Sequence[Watched], draw: random.Random | None
) -> int:
    """Number of further readings until the slip is sure; by chance where a source of it is given, else by rank."""
    taken = list(start)
    asked: set[object] = set()
    for count in range(MOST):
        ranking = rank_slips(gadget.circuit, gadget.situations, taken, pairs=False)
        if sum(one.probability for one in ranking.explanations if names(one, slip)) >= SURE:
            return count
        candidate = _choice(gadget, ranking, taken, asked, draw)
        if candidate is None:
            return MOST
        asked.add(candidate.watched.name)
        target, where = candidate.watched.target, candidate.watched.situation
        found = shown_by(bench, gadget, candidate.watched.name, target, where)
        if found is not None:
            taken.append(found)
    return MOST


def _choice(
    gadget: Gadget,
    ranking: SlipRanking,
    taken: Sequence[Watched],
    asked: set[object],
    draw: random.Random | None,
) -> Candidate | None:
    explanations = [one for one in ranking.explanations if one.kind != "unlisted"][:12]
    pool = [
        one
        for one in candidates_of(gadget.circuit, gadget.situations, taken, explanations)
        if one.watched.name not in asked
    ]
    if not pool:
        return None
    if draw is not None:
        return draw.choice(pool)
    ranked = rank_readings(ranking, candidates=pool).readings
    return ranked[0].candidate if ranked else pool[0]


def races(numbers: Sequence[int] = range(CASES)) -> list[Race]:
    """Searches, the gadgets in turn."""

    def work(key: str) -> dict[str, Any]:
        return asdict(race(int(key.split()[1])))

    return [Race(**one) for one in recorded("next", [f"{SEED} {number}" for number in numbers], work)]


def told(found: Sequence[Race]) -> str:
    """Section of the page for some searches."""
    by_rank = sum(one.by_rank for one in found) / len(found)
    by_chance = sum(one.by_chance for one in found) / len(found)
    fewer = sum(one.by_rank < one.by_chance for one in found)
    more = sum(one.by_rank > one.by_chance for one in found)
    given_up = (sum(one.by_rank == MOST for one in found), sum(one.by_chance == MOST for one in found))
    short = (
        f"\n{CASES} searches are planned. Those counted here ended first, and shorter ones do.\n"
        if len(found) < CASES
        else ""
    )
    return f"""## Next reading

{len(found)} slips on the seven small gadgets of `tests/slipped/`, each from {FIRST} readings drawn by chance. Further
readings were taken until the true slip had {SURE:.0%}: the first one that `lidoff next` proposes each time, or one drawn
by chance from all that could be taken. A search was given up after {MOST} readings and counts as so many.

| choice | readings on average | given up |
|---|---|---|
| by rank | {by_rank:.1f} | {given_up[0]} |
| by chance | {by_chance:.1f} | {given_up[1]} |

By rank it took {by_rank / by_chance:.0%} of the readings that chance took; the aim is at most half. It took fewer in
{fewer} searches and more in {more}.
{short}"""


def section() -> str:
    """Section of the page, every search run anew."""
    return told(races())


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    if words:
        races(range(int(words[0]), CASES, int(words[1])))
    else:
        print(section())
