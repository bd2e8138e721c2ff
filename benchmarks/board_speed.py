"""How fast tracing is: aligning a 24-megapixel pair against a bare feature match, a stroke's view, a whole side.

Run: ``python -m benchmarks.board_speed.py [--megapixels 24]``. Prints one JSON object.
"""

from __future__ import annotations

import argparse
import json
import resource
import time
from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray

from lidoff.board import (
    BACK,
    FRONT,
    LAMINATE,
    Outline,
    Stroke,
    View,
    align_back,
    classify,
    copper_of_prepared,
    find_outline,
    find_round_spots,
    learn,
    prepare_side,
    random_layout,
    rectify,
    register_by_outline,
    render_photos,
)


def seconds(work: Callable[[], object]) -> float:
    """Wall-clock time of one call."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def bare_match(front: NDArray[np.uint8], back: NDArray[np.uint8]) -> object:
    """Floor: scale-invariant features of both photos at half size, matched, and one homography."""
    found = []
    for photo in (front, back[:, ::-1]):
        grey = cv2.cvtColor(
            cv2.resize(photo, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA), cv2.COLOR_RGB2GRAY
        )
        found.append(cv2.SIFT.create(4000).detectAndCompute(grey, None))
    (keys_a, values_a), (keys_b, values_b) = found
    pairs = [
        m[0]
        for m in cv2.BFMatcher().knnMatch(values_a, values_b, k=2)
        if len(m) == 2 and m[0].distance < 0.8 * m[1].distance
    ]
    if len(pairs) < 4:
        return None
    source = np.array([keys_a[m.queryIdx].pt for m in pairs])
    target = np.array([keys_b[m.trainIdx].pt for m in pairs])
    return cv2.findHomography(source, target, cv2.USAC_MAGSAC, 3.0)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--megapixels", type=float, default=24.0)
    asked = parser.parse_args()
    layout = random_layout(np.random.default_rng(2), parts=8).layout
    size = layout.size
    trial = render_photos(layout, View(px_per_mm=10.0, tilt=5.0), np.random.default_rng(1))
    scale = 10.0 * (asked.megapixels * 1e6 / (trial.front.shape[0] * trial.front.shape[1])) ** 0.5
    # Render small and enlarge: what is timed depends on the pixels, and rendering 24 megapixels twice takes a minute.
    photos = render_photos(layout, View(px_per_mm=scale / 3, tilt=5.0), np.random.default_rng(1))
    front, back = (
        cv2.resize(p, None, fx=3, fy=3, interpolation=cv2.INTER_CUBIC) for p in (photos.front, photos.back)
    )

    def ours() -> object:
        outlines: list[Outline] = [find_outline(front), find_outline(back)]
        sides = []
        for which, photo, outline in ((FRONT, front, outlines[0]), (BACK, back, outlines[1])):
            registration = register_by_outline(outline, side=which, width=size[0], height=size[1])
            flat = rectify(photo, registration, side=which, size=size, px_per_mm=16)
            sides.append((registration, find_round_spots(flat)))
        return align_back(sides[0][1], sides[1][1], sides[1][0])

    align_seconds, floor_seconds = [], []
    for _ in range(3):
        align_seconds.append(seconds(ours))
        floor_seconds.append(seconds(lambda: bare_match(front, back)))
    registration = register_by_outline(find_outline(front), side=FRONT, width=size[0], height=size[1])
    flat = rectify(front, registration, side=FRONT, size=size, longest_px=8000)
    prepared = prepare_side(flat, spots=find_round_spots(flat), keep_bytes=0)
    side_seconds = seconds(lambda: copper_of_prepared(prepared))
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    # A view: about one megapixel of screen, classed at every second pixel, after one more stroke.
    view = rectify(front, registration, side=FRONT, size=size, px_per_mm=(1e6 / (size[0] * size[1])) ** 0.5)
    ready = prepare_side(view, spots=find_round_spots(view))
    stroke = Stroke(says=LAMINATE, points=((3.0, 3.0), (6.0, 3.0)), width=0.4)

    def one_stroke() -> object:
        model = learn(
            ready.picture,
            ready.px_per_mm,
            ready.guess,
            [stroke],
            rng=np.random.default_rng(0),
            features=ready.features,
        )
        return classify(
            ready.picture, ready.px_per_mm, ready.guess.light, model, coarse=2, features=ready.features
        )

    stroke_seconds = min(seconds(one_stroke) for _ in range(3))
    print(
        json.dumps(
            {
                "photo megapixels": round(front.shape[0] * front.shape[1] / 1e6, 1),
                "align, s": round(float(np.median(align_seconds)), 2),
                "bare match, s": round(float(np.median(floor_seconds)), 2),
                "align over bare match": round(float(np.median(align_seconds) / np.median(floor_seconds)), 2),
                "side megapixels": round(flat.picture.shape[0] * flat.picture.shape[1] / 1e6, 1),
                "whole side, s": round(side_seconds, 1),
                "peak memory, GB": round(peak, 2),
                "view megapixels": round(view.picture.shape[0] * view.picture.shape[1] / 1e6, 2),
                "stroke to view, s": round(stroke_seconds, 2),
            }
        )
    )


if __name__ == "__main__":
    main()
