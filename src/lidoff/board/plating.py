"""Drilled holes from the round spots of both sides, each plated or not with a doubt.

A plated hole has a ring of copper on every side that was traced; a hole for a screw or a peg has none. What is seen on one
side only, or with half a ring, keeps its doubt, so that a beep can settle it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.board.copper import Copper
from lidoff.board.frame import BACK, FRONT
from lidoff.board.holes import RoundSpot
from lidoff.board.layout import Hole

__all__ = ["holes_of_spots", "plating_of"]

RING = (0.06, 0.26)
"""Where the ring of a plated hole is looked for, from the hole's edge outwards [mm]; common practice, no source."""

_TOGETHER = 0.3  # spots of both sides this near are one hole [mm]
_LEAST_ROUND = 0.7

SMALLEST_UNPLATED = 0.6
"""Smallest hole of a board without plating: it takes a lead or a screw; common practice, no source [mm]."""


def plating_of(hole: Hole, coppers: Mapping[str, Copper]) -> float:
    """Probability that a hole is plated, from the copper round it.

    Parameters
    ----------
    hole : Hole
        Its centre and diameter.
    coppers : mapping of str to Copper
        By side, as far as traced.

    Returns
    -------
    float
        0.02 to 0.98; one half where no side was traced. The side with less of a ring decides, and one side alone never
        makes sure.
    """
    shares = [_ring_share(hole, copper) for copper in coppers.values()]
    if not shares:
        return 0.5
    least = min(shares)
    # Half a ring is as good as a toss of a coin; a whole one on both sides is what drilling leaves of a land.
    chance = 1.0 / (1.0 + math.exp(-9.0 * (least - 0.5)))
    if len(shares) == 1:
        chance = 0.5 + 0.6 * (chance - 0.5)
    return float(np.clip(chance, 0.02, 0.98))


def _ring_share(hole: Hole, copper: Copper) -> float:
    """Share of the ring round a hole that is copper on one side."""
    scale = copper.px_per_mm
    inner, outer = (hole.diameter / 2 + RING[0]) * scale, (hole.diameter / 2 + RING[1]) * scale
    row, column = hole.at[1] * scale - 0.5, hole.at[0] * scale - 0.5
    reach = int(outer) + 2
    top, left = max(int(row) - reach, 0), max(int(column) - reach, 0)
    window: NDArray[np.float32] = copper.probability[
        top : int(row) + reach + 2, left : int(column) + reach + 2
    ]
    if window.size == 0:
        return 0.0
    y, x = np.ogrid[: window.shape[0], : window.shape[1]]
    away = np.hypot(x + left - column, y + top - row)
    ring = (away >= inner) & (away <= max(outer, inner + 1.0))
    return float(window[ring].mean()) if np.any(ring) else 0.0


def holes_of_spots(
    spots: Mapping[str, Sequence[RoundSpot]],
    coppers: Mapping[str, Copper],
    *,
    known: Sequence[Hole] = (),
    one_sided: bool = False,
) -> tuple[Hole, ...]:
    """Holes of a board: those known already, and those that round spots show.

    Parameters
    ----------
    spots : mapping of str to sequence of RoundSpot
        By side, in the board frame after alignment.
    coppers : mapping of str to Copper
        By side.
    known : sequence of Hole
        Stated or found before; they stay as they are.

    one_sided : bool
        Whether one side carries no copper, so that no hole is plated.

    Returns
    -------
    tuple of Hole
        The known ones first, then the found ones from top left to bottom right; a spot seen on both sides counts, a spot
        of one side only where that is all there is.
    """
    candidates = (
        [*_both_sides(spots), *_open_to_the_table(spots, coppers)] if len(spots) == 2 else _one_side(spots)
    )
    if one_sided:
        candidates = [one for one in candidates if one[1] >= SMALLEST_UNPLATED]
    found: list[Hole] = []
    for at, diameter in candidates:
        taken = (*known, *found)
        if any(math.dist(at, hole.at) < 0.5 * max(hole.diameter, diameter) + 0.1 for hole in taken):
            continue
        hole = Hole(at=at, diameter=diameter)
        chance = 0.02 if one_sided else plating_of(hole, coppers)
        found.append(Hole(at=at, diameter=diameter, plated=chance > 0.5, sure=max(chance, 1.0 - chance)))
    found.sort(key=lambda hole: (round(hole.at[1], 1), hole.at[0]))
    return (*known, *found)


def _both_sides(spots: Mapping[str, Sequence[RoundSpot]]) -> list[tuple[tuple[float, float], float]]:
    """Centre and diameter of spots that lie on one place on both sides, smallest first: a hole, not the land round it."""
    return sorted(_pairs(spots, darker=True), key=lambda item: (item[1], item[0]))


def _open_to_the_table(
    spots: Mapping[str, Sequence[RoundSpot]], coppers: Mapping[str, Copper]
) -> list[tuple[tuple[float, float], float]]:
    """Centre and diameter of spots that are lighter than the board on both sides and no metal: a pale table seen through."""
    return [
        (at, diameter)
        for at, diameter in _pairs(spots, darker=False)
        if all(_mean_copper(copper, at, 0.3 * diameter) < 0.5 for copper in coppers.values())
    ]


def _mean_copper(copper: Copper, at: tuple[float, float], reach: float) -> float:
    scale = copper.px_per_mm
    rows = slice(max(int((at[1] - reach) * scale), 0), int((at[1] + reach) * scale) + 1)
    columns = slice(max(int((at[0] - reach) * scale), 0), int((at[0] + reach) * scale) + 1)
    window = copper.probability[rows, columns]
    return float(window.mean()) if window.size else 1.0


def _pairs(
    spots: Mapping[str, Sequence[RoundSpot]], *, darker: bool
) -> list[tuple[tuple[float, float], float]]:
    """Centre and diameter of spots of one polarity and of like size that lie on one place on both sides."""
    from scipy.spatial import cKDTree

    front = [spot for spot in spots[FRONT] if spot.darker == darker and spot.roundness >= _LEAST_ROUND]
    back = [spot for spot in spots[BACK] if spot.darker == darker and spot.roundness >= _LEAST_ROUND]
    if not front or not back:
        return []
    tree = cKDTree(np.array([spot.at for spot in back]))
    found = []
    for spot in front:
        for index in tree.query_ball_point(spot.at, _TOGETHER):
            other = back[index]
            if abs(math.log(spot.diameter / other.diameter)) < 0.45:
                at = ((spot.at[0] + other.at[0]) / 2, (spot.at[1] + other.at[1]) / 2)
                found.append((at, (spot.diameter + other.diameter) / 2))
    return found


def _one_side(spots: Mapping[str, Sequence[RoundSpot]]) -> list[tuple[tuple[float, float], float]]:
    """Dark spots within a rim of metal, where only one side is at hand."""
    found = [
        (spot.at, spot.diameter)
        for side in spots.values()
        for spot in side
        if spot.darker and spot.roundness >= 0.85 and (spot.metal_rim > 0.5 or spot.diameter > 2.0)
    ]
    return sorted(found, key=lambda item: (item[1], item[0]))
