"""The probe plan of a board as a page walks it."""

from __future__ import annotations

from lidoff.bench.models import Closed
from lidoff.bench.traced_nets import TracedNets

__all__ = ["ProbePlanTold", "ProbeTold", "probe_plan_told"]

Spot = tuple[float, float]


class ProbeTold(Closed):
    """Where to hold the two tips, why, and whether it should beep."""

    first: str
    second: str
    first_at_mm: Spot
    second_at_mm: Spot
    why: str
    expected: bool


class ProbePlanTold(Closed):
    """Probes in walking order, and the length of the walk."""

    probes: list[ProbeTold]
    walk_mm: float


def probe_plan_told(traced: TracedNets) -> ProbePlanTold:
    """Fewest probes that settle what is in doubt on a board.

    Parameters
    ----------
    traced : TracedNets
        The board.

    Returns
    -------
    ProbePlanTold
        First what narrows down where the copper contradicts a beep. Without those that a beep has answered already.
    """
    from lidoff.board import contradictions, halving_probe, probe_plan

    places = {pad.pin: pad.at for part in traced.board.parts for pad in part.pads if pad.pin}
    answered = {frozenset((beep.first, beep.second)) for beep in traced.board.beeps}
    plan = probe_plan(traced.links, places)
    against = contradictions(traced.links, traced.board.beeps) if traced.board.beeps else ()
    halving = {
        frozenset(found[:2]): ProbeTold(
            first=found[0],
            second=found[1],
            first_at_mm=places[found[0]],
            second_at_mm=places[found[1]],
            why=f"tells on which side of {found[1]} the copper is wrong about {one.beep.first} and {one.beep.second}",
            expected=found[2],
        )
        for one in against
        if one.beep.first in places
        if (found := halving_probe(traced.links, traced.board.beeps, one, places)) is not None
        if frozenset(found[:2]) not in answered
    }
    return ProbePlanTold(
        probes=[
            *halving.values(),
            *(
                ProbeTold(
                    first=probe.first,
                    second=probe.second,
                    first_at_mm=probe.first_at,
                    second_at_mm=probe.second_at,
                    why=_why(len(probe.settles)),
                    expected=probe.expected,
                )
                for probe in plan.probes
                if frozenset((probe.first, probe.second)) not in {*answered, *halving}
            ),
        ],
        walk_mm=plan.walk,
    )


def _why(count: int) -> str:
    return "settles one doubtful join" if count == 1 else f"settles {count} doubtful joins at once"
