"""What every reading would show in every variant: operating points solved together, meters' loads and ranges kept in mind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.circuit.solve.assemble import IndexedTable
from lidoff.insight.many_wirings import Rest, rows_of, solve_wirings
from lidoff.insight.predicting import Predicted, predict
from lidoff.insight.scene import Bundle, Scene, led_in, loads_much, wirings_of
from lidoff.insight.torn import LOAD, Index
from lidoff.insight.variant import Variant
from lidoff.insight.watched import DeadTest

__all__ = ["Told", "tell"]

BLOCK = 256
"""Samples predicted together."""

BLUNT = 0.5
"""Share of a dead test's open voltage by which tolerances may move it before it is taken to say nothing; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Told:
    """All readings predicted for variants.

    Attributes
    ----------
    values : ndarray of shape (V, R)
        What the display would show; of a dead test the resistance or voltage between the probes, whatever the range.
    slopes : ndarray of shape (V, R, P)
        For one prior deviation of each uncertain parameter.
    settled : ndarray of bool, shape (V, R)
        Which are to be believed.
    """

    values: Array
    slopes: Array
    settled: NDArray[np.bool_]


def tell(
    scene: Scene,
    variants: Sequence[Variant],
    *,
    with_slopes: bool = True,
    solved: NDArray[np.bool_] | None = None,
) -> Told:
    """Predict every reading for every variant.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    variants : sequence of Variant
        V of them.
    with_slopes : bool, optional
        Whether the slopes to the parameters are wanted.
    solved : ndarray of bool, shape (R,), optional
        Readings of which an operating point is known for the circuit as traced. A variant that has none for one of them when
        powered is of no use, and not looked for at its other points. All variants are of use if not given.

    Returns
    -------
    Told
        Readings whose operating point was not found are marked.
    """
    count = len(variants)
    shape = (count, len(scene.watched))
    values, settled = np.zeros(shape), np.zeros(shape, dtype=bool)
    slopes = np.zeros((*shape, len(scene.tolerances.parameters) if with_slopes else 0))
    for bundle, (wirings, table, rest) in zip(scene.bundles, _solved(scene, variants, solved), strict=True):
        everyone = list(variants) * (len(bundle.tests) or 1)
        watched = [scene.watched[place] for place in bundle.places]
        if bundle.tests:
            watched = watched[:1]  # the meter stands at nodes of its own, whatever it touches
        elif bundle.loading is not None:
            watched = [replace(one, load=None) for one in watched]
        for rows in _blocks(len(everyone)):
            told = predict(
                scene.torn,
                scene.tolerances,
                wirings[rows],
                table if len(everyone) <= BLOCK else rows_of(table, np.arange(rows.start, rows.stop)),
                rest.unknowns[rows],
                everyone[rows],
                watched,
                with_slopes=with_slopes,
            )
            lines = np.arange(rows.start, rows.stop)
            if bundle.tests:
                where = (lines % count, np.array(bundle.places)[lines // count])
                values[where], slopes[where] = told.values[:, 0], told.slopes[:, 0]
                settled[where] = told.settled & rest.settled[rows]
            else:
                places = list(bundle.places)
                values[rows, places], slopes[rows, places] = told.values, told.slopes
                settled[rows, places] = (told.settled & rest.settled[rows])[:, None]
                for column, place in enumerate(places):
                    heavy = loads_much(watched[column], told.values[:, column], told.loads[:, column])
                    picked = lines[heavy & settled[rows, place]]
                    if not len(picked):
                        continue
                    alone = replace(bundle, places=(place,), loading=scene.watched[place])
                    found = _with_load(
                        scene,
                        alone,
                        [everyone[line] for line in picked],
                        rest.unknowns[picked],
                        with_slopes=with_slopes,
                    )
                    values[picked, place], slopes[picked, place] = found.values[:, 0], found.slopes[:, 0]
                    settled[picked, place] = found.settled
    _as_shown(scene, values, slopes, settled)
    return Told(values=values, slopes=slopes, settled=settled)


def _solved(
    scene: Scene, variants: Sequence[Variant], solved: NDArray[np.bool_] | None
) -> list[tuple[Index, IndexedTable, Rest]]:
    """Wirings, parameters and operating points of each bundle, all of them solved together."""
    wirings = [wirings_of(scene, bundle, variants) for bundle in scene.bundles]
    if not wirings:
        return []
    tables = [
        _table(bundle, list(variants) * (len(own) // len(variants)))
        for bundle, own in zip(scene.bundles, wirings, strict=True)
    ]
    sizes = [len(own) for own in wirings]
    start = np.concatenate([np.repeat(bundle.start, len(variants), axis=0) for bundle in scene.bundles])
    table = _as_one(scene.bundles[0].table, tables, sizes)
    owners = vital = None
    if solved is not None:
        owners = np.tile(np.arange(len(variants)), sum(sizes) // len(variants))
        needed = [not bundle.tests and bool(solved[list(bundle.places)].all()) for bundle in scene.bundles]
        vital = np.repeat(needed, sizes)
    rest = solve_wirings(scene.torn, np.concatenate(wirings), table, start, owners, vital)
    ends = np.cumsum(sizes)[:-1]
    pieces = zip(np.split(rest.unknowns, ends), np.split(rest.settled, ends), strict=True)
    return [
        (own, its, Rest(unknowns=unknowns, settled=settled))
        for own, its, (unknowns, settled) in zip(wirings, tables, pieces, strict=True)
    ]


def _as_one(base: IndexedTable, tables: Sequence[IndexedTable], sizes: Sequence[int]) -> IndexedTable:
    """Table of all samples of some tables, one after the other; an entry that is the same in all stays one value."""
    columns: dict[tuple[str, str], Array] = {}
    for key, plain in base.items():
        values = [table[key] for table in tables]
        if any(len(one) > 1 or one[0] != plain[0] for one in values):
            columns[key] = np.concatenate(
                [np.broadcast_to(one, (size,)) for one, size in zip(values, sizes, strict=True)]
            )
    return base.with_entries(columns)


def _with_load(
    scene: Scene, bundle: Bundle, variants: Sequence[Variant], start: Array, *, with_slopes: bool
) -> Predicted:
    """One reading of variants in which its meter takes much, solved along with the circuit."""
    wirings = wirings_of(scene, bundle, variants)
    table = _table(bundle, variants)
    rest = solve_wirings(scene.torn, wirings, table, led_in(scene.torn, wirings, start))
    watched = [replace(scene.watched[bundle.places[0]], load=None)]
    told = predict(
        scene.torn,
        scene.tolerances,
        wirings,
        table,
        rest.unknowns,
        variants,
        watched,
        with_slopes=with_slopes,
    )
    return replace(told, settled=told.settled & rest.settled)


def _blocks(count: int) -> list[slice]:
    return [slice(first, min(first + BLOCK, count)) for first in range(0, count, BLOCK)]


def _table(bundle: Bundle, variants: Sequence[Variant]) -> IndexedTable:
    """Parameters of the variants: the situation's, with the variants' own values where the situation leaves them free."""
    columns: dict[tuple[str, str], Array] = {}
    overrides: list[Mapping[tuple[str, str], float]] = [
        {
            **one.values,
            **{
                (f"~{part.kind}", name): float(value)
                for part in one.added
                for name, value in part.values.items()
            },
        }
        for one in variants
    ]
    for row, own in enumerate(overrides):
        for key, value in own.items():
            if key in bundle.fixed or key not in bundle.table:
                continue
            column = columns.setdefault(key, np.full(len(variants), bundle.table[key][0]))
            column[row] = value
    if bundle.loading is not None and bundle.loading.load is not None:
        columns[LOAD, "resistance"] = np.array([bundle.loading.load])
    return bundle.table.with_entries(columns)


def _as_shown(scene: Scene, values: Array, slopes: Array, settled: NDArray[np.bool_]) -> None:
    """Turn the volts between the probes of dead tests into what the display counts.

    Beyond the end of the range a resistance goes on with its logarithm, so that an open circuit stays a number to reckon with.
    Where tolerances move a test by its whole range, as where the meter's current is just what a chip draws, it says nothing.
    """
    for place, one in enumerate(scene.watched):
        if not isinstance(one.target, DeadTest):
            continue
        meter = one.target.meter
        if slopes.shape[2]:
            tolerance = np.sqrt((slopes[:, place] ** 2).sum(axis=1))
            blunt = tolerance > BLUNT * meter.open_voltage
            settled[blunt, place] = False
            slopes[blunt, place] = 0.0
        if one.target.range_name != "diode":
            ohms = values[:, place] / meter.test_current - 2.0 * meter.lead_resistance
            beyond = np.maximum(ohms / meter.highest, 1.0)
            values[:, place] = np.where(beyond > 1.0, meter.highest * (1.0 + np.log(beyond)), ohms)
            slopes[:, place] = slopes[:, place] / meter.test_current / beyond[:, None]
