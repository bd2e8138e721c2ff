"""Speed of tracing as ratios in the same run: aligning a pair, classing a whole side, answering a stroke.

The floor of alignment is a bare feature match and homography of the same two photos. The others are promised in seconds and
bytes; their floor is that promise.
"""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray

from benchmarks.measurement import Measurement, interleaved_medians
from lidoff.board import (
    BACK,
    FRONT,
    LAMINATE,
    VIEW_TREES,
    PreparedSide,
    Stroke,
    View,
    classify,
    copper_of_prepared,
    find_round_spots,
    learn,
    prepare_side,
    random_layout,
    rectify,
    register_sides,
    render_photos,
)

MEGAPIXELS = 24.0
SIDE_SECONDS, SIDE_BYTES, STROKE_SECONDS = 20.0, 2.0 * 2**30, 0.5
ALIGN_OVER_MATCH = 1.5


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


def one_stroke(ready: PreparedSide) -> object:
    """What a workbench does after a stroke: learn again, and class the view at every second pixel."""
    stroke = Stroke(says=LAMINATE, points=((3.0, 3.0), (6.0, 3.0)), width=0.4)
    model = learn(
        ready.picture,
        ready.px_per_mm,
        ready.guess,
        [stroke],
        rng=np.random.default_rng(0),
        features=ready.features,
        trees=VIEW_TREES,
    )
    return classify(
        ready.picture, ready.px_per_mm, ready.guess.light, model, coarse=2, features=ready.features
    )


def measure() -> list[Measurement]:
    """Alignment, a whole side, and a stroke."""
    layout = random_layout(np.random.default_rng(2), parts=8).layout
    width, height = layout.size
    view = View(px_per_mm=15.0, tilt=5.0)
    trial = render_photos(layout, view, np.random.default_rng(1))
    # Rendered small and enlarged: what is timed depends on the pixels, and rendering 24 megapixels twice takes a minute.
    enlarged = (MEGAPIXELS * 1e6 / (trial.front.shape[0] * trial.front.shape[1])) ** 0.5
    front, back = (
        cv2.resize(photo, None, fx=enlarged, fy=enlarged, interpolation=cv2.INTER_CUBIC)
        for photo in (trial.front, trial.back)
    )
    medians = interleaved_medians(
        {
            "align": lambda: register_sides({FRONT: front, BACK: back}, width=width, height=height),
            "bare match": lambda: bare_match(front, back),
        },
        rounds=3,
    )
    registration = register_sides({FRONT: front}, width=width, height=height).registrations[FRONT]
    flat = rectify(front, registration, side=FRONT, size=layout.size, longest_px=8000)
    spots = find_round_spots(flat)
    side_seconds = seconds(lambda: copper_of_prepared(prepare_side(flat, spots=spots, keep_bytes=0)))
    # Linux counts in KiB, others in bytes.
    unit = 1024.0 if sys.platform == "linux" else 1.0
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * unit
    screen = rectify(
        front, registration, side=FRONT, size=layout.size, px_per_mm=(1e6 / (width * height)) ** 0.5
    )
    ready = prepare_side(screen, spots=find_round_spots(screen))
    one_stroke(ready)  # the first call loads what later ones find loaded
    stroke_seconds = min(seconds(lambda: one_stroke(ready)) for _ in range(3))
    started = time.process_time()
    one_stroke(ready)
    processor_seconds = time.process_time() - started
    return [
        Measurement(
            name="board: align a pair over a bare feature match",
            ratio=medians["align"] / medians["bare match"],
            limit=ALIGN_OVER_MATCH,
            seconds=medians,
            details={"photo megapixels": front.shape[0] * front.shape[1] / 1e6},
        ),
        Measurement(
            name="board: class a whole side over its promise",
            ratio=max(side_seconds / SIDE_SECONDS, peak / SIDE_BYTES),
            limit=1.0,
            seconds={"side": side_seconds},
            details={"side megapixels": flat.picture.size / 3e6, "peak GiB": peak / 2**30},
        ),
        Measurement(
            name="board: a stroke's new classes over their promise",
            ratio=stroke_seconds / STROKE_SECONDS,
            limit=1.0,
            seconds={"stroke": stroke_seconds},
            details={
                "view megapixels": screen.picture.size / 3e6,
                "processor seconds in two threads": processor_seconds,
            },
        ),
    ]
