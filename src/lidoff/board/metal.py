"""Metal, print, bodies and holes among what has not the mask's hue; only clear cases are marked."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from lidoff.board.classes import BARE, BODY, CLASSES, HOLE, LEGEND
from lidoff.board.holes import RoundSpot
from lidoff.board.levels import square_element

__all__ = ["mark_others"]

_HALF = 0.5  # share of a line's height at which it is as wide as without blur


def mark_others(
    labels: NDArray[np.int8],
    lab: NDArray[np.float32],
    inside: NDArray[np.bool_],
    ground: NDArray[np.bool_],
    scale: float,
    spots: tuple[RoundSpot, ...],
    *,
    sharp: bool,
) -> None:
    """Metal, print, bodies and holes among what is not ground; marks only clear cases.

    `sharp` says that the photo's own pixels are about as small as the raster's.
    """
    import cv2

    lightness = lab[..., 0]
    around = cv2.GaussianBlur(np.where(ground, lightness, 0), (0, 0), 2.0 * scale) / np.maximum(
        cv2.GaussianBlur(ground.astype(np.float32), (0, 0), 2.0 * scale), 1e-3
    )
    usual = float(np.median(lightness[ground])) if np.any(ground) else 50.0
    lift = lightness - np.where(around > 1.0, around, usual)
    smooth = cv2.GaussianBlur(lightness, (0, 0), 0.7)
    slope = np.hypot(cv2.Sobel(smooth, cv2.CV_32F, 1, 0), cv2.Sobel(smooth, cv2.CV_32F, 0, 1)) / 8
    away = inside & ~ground
    width = max(3, round(0.42 * scale) | 1)
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (width, width))
    gold = lab[..., 2] > 18.0
    white_mask = usual > 60.0
    metal = (away & ((lift < -8.0) if white_mask else (lift > 10.0))).astype(np.uint8)
    discs = _ringed_discs(metal, scale, spots)
    solid = metal > 0
    if sharp and not white_mask:
        # Blur widens a bright printed line by its own foot: how wide it is shows at half its height.
        solid &= lift > _HALF * cv2.dilate(lift, disc)
    broad = cv2.morphologyEx((solid | (discs > 0)).astype(np.uint8), cv2.MORPH_OPEN, disc)
    # A land ends within a pixel or two, a patch of glare fades: metal is taken only near a sharp rim.
    rim = (slope > 3.0) & (cv2.morphologyEx(metal, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8)) > 0)
    broad &= cv2.dilate(rim.astype(np.uint8), square_element(0.5 * scale))
    dark_limit = max(min(usual - 8.0, 28.0), 6.0)
    dark = (away & (lightness < dark_limit)).astype(np.uint8)
    wide = max(5, round(0.9 * scale) | 1)
    body = cv2.morphologyEx(dark, cv2.MORPH_OPEN, np.ones((wide, wide), np.uint8))
    small = np.ones((3, 3), np.uint8)
    labels[(cv2.erode(broad, small) > 0) & (lightness > 32.0)] = CLASSES.index(BARE)
    thin = (metal > 0) & (cv2.dilate(broad, disc) == 0)
    if white_mask:
        ink = (
            away
            & (lightness < usual - 30.0)
            & (cv2.dilate(body, disc) == 0)
            & (cv2.dilate(broad, small) == 0)
        )
    else:
        ink = thin & ~gold & (lift > 18.0) & (slope > 1.0)
    labels[ink] = CLASSES.index(LEGEND)
    labels[cv2.erode(body, small) > 0] = CLASSES.index(BODY)
    # A hole's own rim is metal that the erosion above has thinned: give the rim back, and the inside to the hole.
    labels[(discs == 2) & (metal > 0)] = CLASSES.index(BARE)
    labels[discs == 1] = CLASSES.index(HOLE)


def _ringed_discs(metal: NDArray[np.uint8], scale: float, spots: tuple[RoundSpot, ...]) -> NDArray[np.uint8]:
    """Insides (1) and rims (2) of dark round spots with metal all round them.

    The bow of a printed letter is round too, but its stroke is thin: the rim must be metal for 0.2 mm outwards.
    """
    discs = np.zeros(metal.shape, np.uint8)
    for spot in spots:
        if not spot.darker or spot.roundness < 0.75:
            continue
        radius = 0.5 * spot.diameter * scale
        width = max(0.22 * scale, 2.0)
        reach = int(radius + width) + 2
        column, row = int(spot.at[0] * scale), int(spot.at[1] * scale)
        if not (0 <= row < metal.shape[0] and 0 <= column < metal.shape[1]):
            continue
        top, left = max(row - reach, 0), max(column - reach, 0)
        window = (slice(top, row + reach + 1), slice(left, column + reach + 1))
        own = metal[window]
        y, x = np.ogrid[: own.shape[0], : own.shape[1]]
        distance = np.hypot(x + left + 0.5 - spot.at[0] * scale, y + top + 0.5 - spot.at[1] * scale)
        rim = (distance > radius + 0.8) & (distance < radius + width)
        if float(np.mean(own[rim] > 0)) > 0.85:
            discs[window][rim] = 2
            discs[window][distance < max(radius - 0.5, 0.7)] = 1
    return discs
