"""How far readings bend away from their slopes within the tolerances, as an uncertainty of their own.

A transistor at the edge of saturation, or a meter whose current is just what a chip draws, follows no slope. What a reading
moves beyond its slope when one wide parameter goes near its limit is taken as so much less known about it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from lidoff.circuit.kind import Array
from lidoff.insight.foretold import Told, tell
from lidoff.insight.likelihood import shows_number
from lidoff.insight.scene import Bundle, Scene
from lidoff.insight.torn import METER
from lidoff.insight.variant import AS_TRACED, Variant

__all__ = ["with_bends"]

CURRENT_SPREAD = 0.5
"""Relative standard uncertainty of the current that a meter drives on its diode range: meters differ, from some 0.3 mA to 2 mA;
common practice, no source."""
FAR = 1.5
"""Prior deviations at which a parameter is tried; even limits end at √3."""
WIDE = 0.1
"""Relative deviation from which a parameter is wide; our choice."""
MOST = 12
"""Wide parameters that are tried, the widest first."""
COUNTED = 0.5
"""Share of the largest bend that counts as a standard uncertainty; our choice."""


def with_bends(scene: Scene) -> Scene:
    """Scene in which readings that bend count as less certain.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.

    Returns
    -------
    Scene
        The same where no parameter is wide and no diode range was used.
    """
    wide = []
    for k, (reference, name, spread) in enumerate(scene.tolerances.parameters):
        value = float(scene.plain_table[reference, name][0])
        deviation = spread.standard(value)
        if deviation > WIDE * abs(value) and value != 0.0:
            wide.append((deviation / abs(value), k, reference, name, value, deviation))
    wide = sorted(wide, reverse=True)[:MOST]
    diodes = [bundle for bundle in scene.bundles if bundle.tests and bundle.tests[0].range_name == "diode"]
    if not (wide or diodes) or not scene.watched:
        return scene
    variants = []
    for _, _, reference, name, value, deviation in wide:
        for sign in (-1.0, 1.0):
            far = value + sign * FAR * deviation
            variants.append(Variant(values={(reference, name): far if far * value > 0.0 else 0.05 * value}))
    plain = tell(scene, [AS_TRACED])
    told = tell(scene, variants, with_slopes=False) if variants else plain
    currents = _by_test_current(scene, diodes, plain)
    bends = np.zeros(len(scene.watched))
    for row, (_, k, _, _, value, deviation) in enumerate(wide):
        for line in (2 * row, 2 * row + 1):
            far = variants[line].values[next(iter(variants[line].values))]
            along = plain.slopes[0, :, k] * (far - value) / deviation
            bend = np.abs(told.values[line] - plain.values[0] - along)
            known = told.settled[line] & plain.settled[0]
            bends = np.maximum(bends, np.where(known, bend, 0.0))
    watched = tuple(
        replace(one, bend=float(np.hypot(COUNTED * bend, current))) if shows_number(one) else one
        for one, bend, current in zip(scene.watched, bends, currents, strict=True)
    )
    return replace(scene, watched=watched)


def _by_test_current(scene: Scene, diodes: Sequence[Bundle], plain: Told) -> Array:
    """Standard uncertainty (R,) of what diode ranges show, by the current that the meter drives."""
    if not diodes:
        return np.zeros(len(scene.watched))
    more = [
        replace(
            bundle,
            table=bundle.table.with_entries(
                {(METER, "test_current"): bundle.table[METER, "test_current"] * (1.0 + CURRENT_SPREAD)}
            ),
        )
        for bundle in diodes
    ]
    told = tell(replace(scene, bundles=tuple(more)), [AS_TRACED], with_slopes=False)
    known = told.settled[0] & plain.settled[0]
    return np.where(known, np.abs(told.values[0] - plain.values[0]), 0.0)
