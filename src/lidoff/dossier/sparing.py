"""What a maker saved, seen with the loads that the hazard checks found."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.circuit import Circuit, Solution
from lidoff.evidence import Measured, NetVoltage, WithoutPower
from lidoff.hazards import CellTold, Stress
from lidoff.insight import Block, Economy, Load, economies_of, survey_of

__all__ = ["spared"]


def spared(
    circuit: Circuit,
    blocks: Sequence[Block],
    stresses: Sequence[Stress],
    solution: Solution | None,
    readings: Sequence[Measured] = (),
    cells: Sequence[CellTold] = (),
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
    readings : sequence of Measured, optional
        A net that one of them is about is there to be read.
    cells : sequence of CellTold, optional
        What the dossier tells of cells, among it whether a protection was found.

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
    guarded = [one.name for one in cells if one.protection == "present"]
    return economies_of(
        survey_of(circuit, blocks, loads=loads, solution=solution, read=_nets_of(readings), guarded=guarded)
    )


def _nets_of(readings: Sequence[Measured]) -> set[str]:
    """Nets that readings are about."""
    found: set[str] = set()
    for one in readings:
        match one.reading.target:
            case NetVoltage(net=net, against=against):
                found |= {net, against}
            case WithoutPower(red=red, black=black):
                found |= {red, black}
            case _:
                pass  # a part's current or voltage needs no net of its own
    return found
