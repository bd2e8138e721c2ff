"""What a maker saved, seen with the loads that the hazard checks found."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.circuit import Circuit, Solution
from lidoff.hazards import Stress
from lidoff.insight import Block, Economy, Load, economies_of, survey_of

__all__ = ["spared"]


def spared(
    circuit: Circuit, blocks: Sequence[Block], stresses: Sequence[Stress], solution: Solution | None
) -> tuple[Economy, ...]:
    """Economies of a circuit, among them parts that are large or small for their load.

    Parameters
    ----------
    circuit : Circuit
    blocks : sequence of Block
        As recognised.
    stresses : sequence of Stress
        Highest load of each part on each rating.
    solution : Solution or None
        Operating points.

    Returns
    -------
    tuple of Economy
    """
    loads = [
        Load(
            reference=one.reference,
            rating=one.rating,
            load=one.load,
            limit=one.limit,
            situation=one.situation.replace("_", " "),
            usual=one.usual,
            told=one.told,
        )
        for one in stresses
    ]
    return economies_of(survey_of(circuit, blocks, loads=loads, solution=solution))
