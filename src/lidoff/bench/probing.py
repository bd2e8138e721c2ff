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
        Without those that a beep has answered already.
    """
    from lidoff.board import probe_plan

    places = {pad.pin: pad.at for part in traced.board.parts for pad in part.pads if pad.pin}
    answered = {frozenset((beep.first, beep.second)) for beep in traced.board.beeps}
    plan = probe_plan(traced.links, places)
    return ProbePlanTold(
        probes=[
            ProbeTold(
                first=probe.first,
                second=probe.second,
                first_at_mm=probe.first_at,
                second_at_mm=probe.second_at,
                why=_why(len(probe.settles)),
                expected=probe.expected,
            )
            for probe in plan.probes
            if frozenset((probe.first, probe.second)) not in answered
        ],
        walk_mm=plan.walk,
    )


def _why(count: int) -> str:
    return "settles one doubtful join" if count == 1 else f"settles {count} doubtful joins at once"
