"""A circuit as traced with all its readings: which of them share an operating point."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit import Circuit, MeterRange, Pin, Situation, kind_of, operating_point
from lidoff.circuit.kind import Array
from lidoff.circuit.operating import situation_table
from lidoff.circuit.solve.assemble import IndexedTable
from lidoff.errors import CircuitFault
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage
from lidoff.insight.many_wirings import solve_wirings
from lidoff.insight.predicting import Tolerances, predict, tolerances_of
from lidoff.insight.torn import LEAD, LOAD, METER, Index, Torn, tear
from lidoff.insight.touched import lead_nodes
from lidoff.insight.variant import AS_TRACED, Variant
from lidoff.insight.watched import DeadTest, Watched, unplugged

__all__ = ["Bundle", "Scene", "led_in", "loads_much", "scene_of", "wirings_of"]

LOADS_MUCH = 0.02
"""Share of a reading that its voltmeter may take before the meter is solved with the circuit."""
DROPS_MUCH = 0.02
"""Voltage across an ammeter from which it is solved with the circuit [V]: near the e-fold of a junction, beyond which no law
goes on in proportion; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bundle:
    """Readings that share one operating point.

    Attributes
    ----------
    places : tuple of int
        Their numbers.
    table : IndexedTable
        Parameters of all parts there, one value each.
    start : ndarray of shape (S, N + 1)
        Operating points of the circuit as traced, one for each dead test or one for all readings; rest where there is none.
    fixed : frozenset of (str, str)
        Parameters that the situation sets.
    loading : Watched or None
        The reading whose meter is solved along.
    tests : tuple of DeadTest
        Dead tests with one range of the meter, as many as places; empty for readings of the powered circuit.
    """

    places: tuple[int, ...]
    table: IndexedTable
    start: Array
    fixed: frozenset[tuple[str, str]]
    loading: Watched | None = None
    tests: tuple[DeadTest, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """A circuit as traced with its readings.

    Attributes
    ----------
    circuit : Circuit
        As traced.
    situations : tuple of Situation
        Of the dossier.
    torn : Torn
        Its parts.
    tolerances : Tolerances
        Of its parts.
    plain_table : IndexedTable
        Parameters of the parts where no situation sets them.
    watched : tuple of Watched
        All readings.
    bundles : tuple of Bundle
        Each reading in one of them.
    starts : mapping of str to ndarray of shape (N + 1,)
        Operating points of the circuit as traced by situation, where any was found.
    """

    circuit: Circuit
    situations: tuple[Situation, ...]
    torn: Torn
    tolerances: Tolerances
    plain_table: IndexedTable
    watched: tuple[Watched, ...]
    bundles: tuple[Bundle, ...]
    starts: Mapping[str, Array]


def scene_of(
    circuit: Circuit,
    situations: Sequence[Situation],
    watched: Sequence[Watched],
    known: Scene | None = None,
) -> Scene:
    """Set the scene.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : sequence of Situation
        Of the dossier; readings of others are left out.
    watched : sequence of Watched
        All readings.
    known : Scene, optional
        Of the same circuit and situations with other readings, whose equations and operating points serve again.

    Returns
    -------
    Scene
    """
    by_name = {one.name: one for one in situations}
    kept = tuple(one for one in watched if isinstance(one.target, DeadTest) or one.situation in by_name)
    scene = _bare(circuit, situations) if known is None else known
    needed = {one.situation for one in kept if not isinstance(one.target, DeadTest)} - set(scene.starts)
    own = {name: _start_of(scene, by_name[name]) for name in sorted(needed)}
    scene = replace(scene, watched=kept, bundles=(), starts={**scene.starts, **own})
    bundles: list[Bundle] = []
    for name, situation in by_name.items():
        places = [
            number
            for number, one in enumerate(kept)
            if one.situation == name and not isinstance(one.target, DeadTest)
        ]
        if not places:
            continue
        together = _bundle(scene, situation, places)
        alone = _loaded_much(scene, together)
        light = tuple(place for place in places if place not in alone)
        if light:
            bundles.append(replace(together, places=light))
        bundles.extend(
            _started(scene, replace(together, places=(place,), loading=kept[place])) for place in alone
        )
    alike: dict[tuple[str, MeterRange], list[int]] = {}
    for number, one in enumerate(kept):
        if isinstance(one.target, DeadTest):
            alike.setdefault((one.situation, one.target.meter), []).append(number)
    bundles.extend(
        _bundle(scene, unplugged(circuit, by_name.get(name)), places) for (name, _), places in alike.items()
    )
    return replace(scene, bundles=tuple(bundles))


def _bare(circuit: Circuit, situations: Sequence[Situation]) -> Scene:
    """Scene without readings."""
    torn = tear(circuit)
    return Scene(
        circuit=circuit,
        situations=tuple(situations),
        torn=torn,
        tolerances=tolerances_of(torn),
        plain_table=IndexedTable(dict(situation_table(torn.circuit, (Situation(name=""),)))),
        watched=(),
        bundles=(),
        starts={},
    )


def _bundle(scene: Scene, situation: Situation, places: Sequence[int]) -> Bundle:
    torn = scene.torn
    entries = dict(situation_table(torn.circuit, (situation,)))
    targets = [scene.watched[place].target for place in places]
    tests = tuple(target for target in targets if isinstance(target, DeadTest))
    if tests:
        meter = tests[0].meter
        entries[METER, "test_current"] = np.array([meter.test_current])
        entries[METER, "open_voltage"] = np.array([meter.open_voltage])
        entries[METER, "lead_resistance"] = np.array([meter.lead_resistance])
    fixed = frozenset((reference, name) for reference, own in situation.settings.items() for name in own)
    bundle = Bundle(
        places=tuple(places),
        table=IndexedTable(entries),
        start=np.zeros((len(tests), torn.size + 1)) if tests else scene.starts[situation.name][None],
        fixed=fixed,
        tests=tests,
    )
    return _started(scene, bundle)


def _start_of(scene: Scene, situation: Situation) -> Array:
    """Operating point by the solver proper, which has more ways into one than Newton's method alone."""
    start = np.zeros(scene.torn.size + 1)
    try:
        solution = operating_point(scene.circuit, situations=[situation])
    except CircuitFault:
        return start
    places = {**dict.fromkeys(scene.circuit.nets, ""), **dict.fromkeys(solution.system.variables, "")}
    for name in places:
        number = scene.torn.nets.get(name)
        if number is None and name in scene.torn.nodes:
            number = int(scene.torn.wiring[scene.torn.nodes[name]])
        position = solution.system.position.get(name)
        if (
            number is not None
            and position is not None
            and position < solution.system.size
            and solution.settled[0]
        ):
            start[number] = solution.outcome.unknowns[0, position]
    start[-1] = 0.0
    return start


def _started(scene: Scene, bundle: Bundle) -> Bundle:
    wirings = wirings_of(scene, bundle, [AS_TRACED])
    rest = solve_wirings(scene.torn, wirings, bundle.table, led_in(scene.torn, wirings, bundle.start))
    return replace(bundle, start=np.where(rest.settled[:, None], rest.unknowns, bundle.start))


def _loaded_much(scene: Scene, bundle: Bundle) -> tuple[int, ...]:
    """Readings of which the meter takes so much that the change is not in proportion."""
    watched = [scene.watched[place] for place in bundle.places]
    told = predict(
        scene.torn,
        scene.tolerances,
        wirings_of(scene, bundle, [AS_TRACED]),
        bundle.table,
        bundle.start,
        [AS_TRACED],
        watched,
        with_slopes=False,
    )
    return tuple(
        place
        for column, (place, one) in enumerate(zip(bundle.places, watched, strict=True))
        if loads_much(one, told.values[:, column], told.loads[:, column])[0]
    )


def loads_much(one: Watched, values: Array, loads: Array) -> NDArray[np.bool_]:
    """Whether a meter changes its reading by so much that the change is not in proportion.

    Parameters
    ----------
    one : Watched
        The reading.
    values, loads : ndarray of shape (B,)
        What it would be in some variants, and what the meter leaves of it, as `predict` tells them.

    Returns
    -------
    ndarray of bool, shape (B,)
    """
    if one.load is None:
        return np.zeros(len(values), dtype=np.bool_)
    if isinstance(one.target, NetVoltage | AcrossPart):
        return np.asarray(np.abs(1.0 - loads) > LOADS_MUCH, dtype=np.bool_)
    return np.asarray(np.abs(values / loads) * one.load > DROPS_MUCH, dtype=np.bool_)


def led_in(torn: Torn, wirings: Index, start: Array) -> Array:
    """Start for wirings (B, M) with a meter in place: what it broke off its net starts at the voltage of that net."""
    led = start.copy()
    net = wirings[:, torn.node(LOAD, "1")]
    led[:, torn.nets[LEAD]] = np.take_along_axis(start, net[:, None], axis=1)[:, 0]
    return led


def wirings_of(scene: Scene, bundle: Bundle, variants: Sequence[Variant]) -> Index:
    """Unknown of each node, probes in place: for each variant one row, or for each dead test and variant, (S·V, M)."""
    torn = scene.torn
    wirings = np.stack([torn.wired(one) for one in variants])
    if bundle.loading is not None:
        _put_load(scene, wirings, variants, bundle.loading)
    if not bundle.tests:
        return wirings
    red, black = torn.node(METER, "a"), torn.node(METER, "b")
    found = np.tile(wirings, (len(bundle.tests), 1))
    for row, (place, test) in enumerate(zip(bundle.places, bundle.tests, strict=True)):
        name = scene.watched[place].name
        first = row * len(variants)
        for number, one in enumerate(variants):
            row_of = found[first + number]
            row_of[red] = (
                torn.nets[one.probes[name]] if name in one.probes else _touched(torn, row_of, one, test.red)
            )
            row_of[black] = _touched(torn, row_of, one, test.black)
    return found


def _touched(torn: Torn, wiring: Index, variant: Variant, place: str) -> int:
    """Unknown that a probe touches: a net's, or that of the pin truly on the pad named like ``R1.2``."""
    if place in torn.nets:
        return torn.nets[variant.net_of(place)]
    reference, _, pin = place.rpartition(".")
    return int(wiring[torn.node(reference, variant.pads.get(Pin(reference, pin), pin))])


def _put_load(scene: Scene, wirings: Index, variants: Sequence[Variant], reading: Watched) -> None:
    torn, target = scene.torn, reading.target
    if isinstance(target, AcrossPart):
        first, second = kind_of(scene.circuit.part(target.reference)).path
        for pin, end in (("1", first), ("2", second)):
            wirings[:, torn.node(LOAD, pin)] = wirings[:, torn.node(target.reference, end)]
    elif isinstance(target, NetVoltage):
        for row, one in enumerate(variants):
            wirings[row, torn.node(LOAD, "1")] = torn.nets[
                one.probes.get(reading.name, one.net_of(target.net))
            ]
            wirings[row, torn.node(LOAD, "2")] = torn.nets[one.net_of(target.against or torn.ground)]
    elif isinstance(target, IntoPin | InPart):
        lines, lead = np.arange(len(variants)), lead_nodes(torn, variants, target)
        wirings[:, torn.node(LOAD, "1")] = wirings[lines, lead]
        wirings[:, torn.node(LOAD, "2")] = wirings[lines, lead] = torn.nets[LEAD]
