"""A picture of every step, as arrays to look at or to write as PNG."""

from __future__ import annotations

import colorsys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lidoff.board.align import Alignment
from lidoff.board.classes import CLASSES
from lidoff.board.copper import Copper
from lidoff.board.distances import Distance
from lidoff.board.holes import RoundSpot
from lidoff.board.islands import Join, Pieces
from lidoff.board.nets import Nets
from lidoff.board.rectify import Rectified
from lidoff.errors import OutputRefused

__all__ = [
    "picture_of_alignment",
    "picture_of_classes",
    "picture_of_copper",
    "picture_of_distance",
    "picture_of_nets",
    "save_picture",
]

Picture = NDArray[np.uint8]

AMBER = (200, 132, 26)
BRICK = (168, 65, 47)
TEAL = (31, 138, 138)
SLATE = (74, 90, 106)

_CLASS_COLOURS = np.array(
    [TEAL, (226, 190, 96), (110, 96, 74), (245, 243, 236), (60, 54, 66), (20, 20, 24), SLATE], np.uint8
)


def _thickness(picture: Picture) -> int:
    return int(max(1, round(max(picture.shape[:2]) / 500)))


def picture_of_alignment(
    front: Rectified, back: Rectified, alignment: Alignment, spots: Sequence[RoundSpot] = ()
) -> Picture:
    """Both sides in one frame, in alternating squares; pairs ringed in amber (found) or brick (by hand), residuals tenfold."""
    import cv2

    height = min(front.picture.shape[0], back.picture.shape[0])
    width = min(front.picture.shape[1], back.picture.shape[1])
    square = max(16, max(height, width) // 12)
    rows, columns = np.indices((height, width))
    chess = ((rows // square + columns // square) % 2 == 0)[..., None]
    canvas = np.where(chess, front.picture[:height, :width], back.picture[:height, :width]).astype(np.uint8)
    canvas = np.ascontiguousarray(canvas)
    scale, thick = front.px_per_mm, _thickness(canvas)
    for spot in spots:
        centre = (round(spot.at[0] * scale), round(spot.at[1] * scale))
        cv2.circle(canvas, centre, max(2, round(spot.diameter / 2 * scale)), SLATE, thick)
    moved = alignment.correction
    for pair in alignment.pairs:
        here = np.array(pair.front)
        there = moved[:2, :2] @ np.array(pair.back) + moved[:2, 2]
        there = there / (moved[2, :2] @ np.array(pair.back) + moved[2, 2])
        end = here + 10.0 * (there - here)
        colour = BRICK if pair.manual else AMBER
        cv2.circle(
            canvas,
            (round(here[0] * scale), round(here[1] * scale)),
            max(4, round(0.5 * scale)),
            colour,
            thick,
        )
        cv2.line(
            canvas,
            (round(here[0] * scale), round(here[1] * scale)),
            (round(float(end[0]) * scale), round(float(end[1]) * scale)),
            colour,
            thick,
        )
    return canvas


def picture_of_classes(copper: Copper) -> Picture:
    """Most probable class of each pixel, in flat colours in the order of `CLASSES`."""
    assert len(_CLASS_COLOURS) == len(CLASSES)
    return np.asarray(_CLASS_COLOURS[copper.classes])


def _fitted(side: Rectified, shape: tuple[int, ...]) -> Picture:
    import cv2

    return np.asarray(cv2.resize(side.picture, (shape[1], shape[0]), interpolation=cv2.INTER_AREA), np.uint8)


def picture_of_copper(side: Rectified, copper: Copper, necks: Sequence[Join] = ()) -> Picture:
    """Flat photo with found copper over it in translucent teal, and doubtful necks ringed in brick."""
    import cv2

    canvas = _fitted(side, copper.mask.shape).astype(np.float32)
    share = 0.45 * copper.mask[..., None].astype(np.float32)
    canvas = canvas * (1 - share) + np.array(TEAL, np.float32) * share
    done = np.ascontiguousarray(np.clip(canvas, 0, 255).astype(np.uint8))
    thick = _thickness(done)
    for neck in necks:
        centre = (round(neck.at[0] * copper.px_per_mm), round(neck.at[1] * copper.px_per_mm))
        cv2.circle(done, centre, max(5, round(0.7 * copper.px_per_mm)), BRICK, thick)
    return done


def picture_of_nets(side: Rectified, pieces: Pieces, nets: Nets) -> Picture:
    """Flat photo with every net of the side in a colour of its own; a net has one colour on both sides."""
    canvas = _fitted(side, pieces.labels.shape).astype(np.float32)
    colours = np.zeros((pieces.count + 1, 3), np.float32)
    shares = np.zeros(pieces.count + 1, np.float32)
    for number, net in enumerate(nets.nets):
        # Steps of the golden angle keep neighbours in the list far apart in hue.
        colour = colorsys.hls_to_rgb((0.11 + number * 0.381966) % 1.0, 0.5, 0.75)
        for piece in net.pieces:
            which, _, label = piece.partition(":")
            if which == pieces.side and int(label) <= pieces.count:
                colours[int(label)] = np.array(colour) * 255
                shares[int(label)] = 0.6
    share = shares[pieces.labels][..., None]
    return np.clip(canvas * (1 - share) + colours[pieces.labels] * share, 0, 255).astype(np.uint8)


def picture_of_distance(side: Rectified, distances: Sequence[Distance]) -> Picture:
    """Flat photo with the paths of distances: creepage in amber, clearance in brick, lengths beside them."""
    import cv2

    canvas = np.ascontiguousarray(side.picture.copy())
    scale, thick = side.px_per_mm, _thickness(canvas)
    for distance in distances:
        colour = AMBER if distance.kind == "creepage" else BRICK
        points = np.round(np.array(distance.path) * scale).astype(np.int32)
        cv2.polylines(canvas, [points], False, colour, thick + 1)
        for x, y in points[[0, -1]]:
            cv2.circle(canvas, (int(x), int(y)), 3 * thick, colour, -1)
        middle = points[len(points) // 2]
        text = f"{distance.length:.2f} mm"
        height = max(0.4, thick * 0.35)
        at = (int(middle[0]) + 4 * thick, int(middle[1]) - 4 * thick)
        cv2.putText(
            canvas, text, at, cv2.FONT_HERSHEY_SIMPLEX, height, (255, 255, 255), 3 * thick, cv2.LINE_AA
        )
        cv2.putText(canvas, text, at, cv2.FONT_HERSHEY_SIMPLEX, height, colour, thick, cv2.LINE_AA)
    return canvas


def save_picture(picture: Picture, path: Path | str) -> Path:
    """Write a picture as PNG, making its folder.

    Raises
    ------
    OutputRefused
        The file cannot be written.
    """
    from PIL import Image

    path = Path(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        Image.fromarray(picture).save(path, format="PNG")
    except OSError as error:
        raise OutputRefused(
            f"the picture cannot be written ({error.strerror or error})",
            where=str(path),
            remedy="choose another folder",
        ) from error
    return path
