"""Following copper from a click: how far it reaches, and which pins hang on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lidoff.bench.board_told import spots_of
from lidoff.bench.models import Closed
from lidoff.bench.traced_nets import TracedNets, nets_on
from lidoff.errors import ImpossibleValue

if TYPE_CHECKING:
    from lidoff.dossier import Dossier

__all__ = ["Followed", "followed"]

Spot = tuple[float, float]
REACH = 0.3
"""How far beside copper a click may fall [mm]."""


class Followed(Closed):
    """Copper that hangs on a click: its outlines on that side, the pins it reaches, and its net."""

    outline_mm: list[list[Spot]]
    pins: list[str]
    net: str


def followed(traced: TracedNets, dossier: Dossier | None, side: str, at: Spot) -> Followed:
    """Copper that hangs on a click.

    Parameters
    ----------
    traced : TracedNets
        The board.
    dossier : Dossier or None
        For the name of the net.
    side : str
        "front" or "back".
    at : tuple of float
        The click [mm].

    Returns
    -------
    Followed
        Over holes and wires its pins are those of the whole net.

    Raises
    ------
    ImpossibleValue
        No copper lies near the click.
    """
    from shapely.geometry import Point

    islands = [island for one in traced.board.sides if one.side == side for island in one.copper]
    click = Point(at)
    near = [(island.polygon().distance(click), island.number) for island in islands]
    distance, number = min(near, default=(REACH + 1.0, 0))
    if distance > REACH:
        raise ImpossibleValue(
            f"no copper lies within {REACH:g} mm of {at[0]:.2f} mm, {at[1]:.2f} mm on the {side}",
            remedy="click on copper, or trace this side first",
        )
    piece = f"{side}:{number}"
    net = next((net for net in traced.nets.nets if piece in net.pieces), None)
    if net is None:
        alone = [spots_of(island.shell) for island in islands if island.number == number]
        return Followed(outline_mm=alone, pins=[], net="")
    mine = {int(name.rpartition(":")[2]) for name in net.pieces if name.startswith(f"{side}:")}
    return Followed(
        outline_mm=[spots_of(island.shell) for island in islands if island.number in mine],
        pins=sorted(net.pins),
        net=nets_on(dossier, traced)[net.name],
    )
