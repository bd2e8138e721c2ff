"""Suggestions: bare lands on a side, and the packages whose pattern two or more of them fit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.board.classes import BARE, CLASSES
from lidoff.board.copper import Copper
from lidoff.board.layout import Place
from lidoff.board.package import LandPattern, PlacedPart, all_packages, click_span, place_part

__all__ = ["BareLand", "Suggestion", "bare_lands", "suggest_parts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BareLand:
    """One patch of bare metal: centre, longer and shorter edge [mm], and the turn of the longer one [degrees]."""

    at: Place
    size: tuple[float, float]
    turn: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Suggestion:
    """A package that bare lands fit: how it would be placed, which lands it takes, and how well, 0…1."""

    part: PlacedPart
    lands: tuple[int, ...]
    fit: float


def bare_lands(copper: Copper, *, smallest: float = 0.06, largest: float = 60.0) -> tuple[BareLand, ...]:
    """Patches of bare metal on a side.

    Parameters
    ----------
    copper : Copper
        With its classes.
    smallest, largest : float
        Areas [mm²].

    Returns
    -------
    tuple of BareLand
        From top left to bottom right.
    """
    import cv2

    scale = copper.px_per_mm
    bare = (copper.classes == CLASSES.index(BARE)).astype(np.uint8)
    bare = cv2.morphologyEx(bare, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    contours, _ = cv2.findContours(bare, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    found = []
    for contour in contours:
        if len(contour) < 4:
            continue
        (x, y), (width, height), turn = cv2.minAreaRect(contour)
        width, height = (width + 1) / scale, (height + 1) / scale
        if not smallest <= width * height <= largest:
            continue
        if width < height:
            width, height, turn = height, width, turn + 90.0
        found.append(
            BareLand(
                at=((x + 0.5) / scale, (y + 0.5) / scale),
                size=(width, height),
                turn=(turn + 90.0) % 180.0 - 90.0,
            )
        )
    return tuple(sorted(found, key=lambda land: (round(land.at[1], 1), land.at[0])))


def suggest_parts(
    lands: Sequence[BareLand], *, side: str, families: Sequence[str] = (), worst: float = 0.45
) -> tuple[Suggestion, ...]:
    """Packages that fit two or more bare lands, largest first.

    Parameters
    ----------
    lands : sequence of BareLand
        Of one side.
    side : str
        "front" or "back".
    families : sequence of str
        Families looked for; empty for all.
    worst : float
        Least fit that is suggested.

    Returns
    -------
    tuple of Suggestion
        No land is used twice; packages with more lands go first, as they prove more.
    """
    patterns = [p for p in all_packages().values() if not families or p.family in families]
    patterns.sort(key=lambda p: (-len(p.lands), p.name))
    places = np.array([land.at for land in lands]).reshape(-1, 2)
    found: list[Suggestion] = []
    for pattern in patterns:
        if not 2 <= len(pattern.lands) <= len(lands):
            continue
        found += _fits(pattern, lands, places, side, worst)
    found.sort(key=lambda item: (-len(item.lands), -item.fit, item.part.package, item.part.at))
    kept: list[Suggestion] = []
    used: set[int] = set()
    for item in found:
        if not used & set(item.lands):
            used |= set(item.lands)
            kept.append(
                Suggestion(
                    part=place_part(
                        item.part.package,
                        reference=f"?{len(kept) + 1}",
                        side=side,
                        first=_click(item.part, 0),
                        second=_click(item.part, 1),
                    ),
                    lands=item.lands,
                    fit=item.fit,
                )
            )
    return tuple(kept)


def _click(part: PlacedPart, which: int) -> Place:
    pattern = all_packages()[part.package]
    pin = f"{part.reference}.{pattern.clicks[which]}"
    return next(pad.at for pad in part.pads if pad.pin == pin)


def _fits(
    pattern: LandPattern,
    lands: Sequence[BareLand],
    places: np.ndarray[tuple[int, int], np.dtype[np.float64]],
    side: str,
    worst: float,
) -> list[Suggestion]:
    from scipy.spatial import cKDTree

    first, second = (pattern.land(pin) for pin in pattern.clicks)
    span, clicked = math.dist(first.at, second.at), click_span(pattern)
    tolerance = max(0.12 * span, 0.2)
    tree = cKDTree(places)
    found = []
    for i, j in sorted(tree.query_pairs(span + tolerance)):
        apart = math.dist(lands[i].at, lands[j].at)
        if abs(apart - span) > tolerance or not clicked.least <= apart <= clicked.most:
            continue
        for a, b in ((i, j), (j, i)):
            part = place_part(pattern.name, reference="?", side=side, first=lands[a].at, second=lands[b].at)
            pads = [pad for pad in part.pads if pad.side == side]
            distance, index = (np.asarray(v) for v in tree.query(np.array([pad.at for pad in pads])))
            if len(set(index.tolist())) < len(pads) or float(distance.max()) > 0.35:
                continue
            fits = [
                _size_fit(pad.size, lands[k].size, pad.turn, lands[k].turn)
                for pad, k in zip(pads, index, strict=True)
            ]
            fit = float(np.mean(fits)) * math.exp(-float(np.mean(distance)) / 0.3)
            if fit >= worst:
                found.append(Suggestion(part=part, lands=tuple(int(k) for k in index), fit=fit))
            if len(pads) == 2:
                break  # two equal ends: the other way round fits as well
    return found


def _size_fit(size: tuple[float, float], seen: tuple[float, float], turn: float, seen_turn: float) -> float:
    long, short = max(size), min(size)
    along = turn if size[0] >= size[1] else turn + 90.0
    fit = math.exp(-(math.log(seen[0] / long) ** 2 + math.log(seen[1] / short) ** 2) / 0.3)
    if long > 1.3 * short:
        off = abs((along - seen_turn + 90.0) % 180.0 - 90.0)
        fit *= math.exp(-((off / 25.0) ** 2))
    return fit
