"""Which part and net of one circuit is which in another, found from the graph.

Similarity spreads from parts to the nets they are on and back, pin by pin, as in similarity flooding [1]_; then parts and nets
are paired one to one by assignment, each in turn, until nothing moves.

References
----------
.. [1] S. Melnik, H. Garcia-Molina, E. Rahm, Similarity flooding: a versatile graph matching algorithm, Proc. ICDE 2002,
   doi 10.1109/ICDE.2002.994702 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit import kind_of
from lidoff.insight.view import SWAPS, PlacedPart, View

__all__ = ["Pairing", "paired", "turns_of"]

Array = NDArray[np.float64]
ROUNDS = 8
SETTLING = 6
FAMILIES = (
    ({"capacitor", "electrolytic_capacitor", "film_capacitor"}, 0.7),
    ({"diode", "schottky"}, 0.8),
    ({"diode", "schottky", "zener", "suppressor", "led"}, 0.3),
    ({"npn", "darlington_npn", "mosfet_n"}, 0.4),
    ({"pnp", "darlington_pnp", "mosfet_p"}, 0.4),
    ({"box", "controller"}, 0.8),
    ({"resistor", "ntc", "photoresistor", "potentiometer"}, 0.3),
    ({"cell", "battery", "dc_supply"}, 0.5),
    ({"fuse", "resettable_fuse"}, 0.8),
    ({"button", "switch"}, 0.6),
)
"""Kinds that a revision may exchange, and how alike they count; our choice."""
TRIES = 8
TIE = 0.01
"""Relative difference up to which two scores count as equal; our choice."""
PINS = 0.6
"""Weight of agreeing pins against kind, value and reference in the last assignments; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pairing:
    """Parts and nets of two circuits that belong together.

    Attributes
    ----------
    parts : mapping of str to str
        Reference in the first → reference in the second.
    nets : mapping of str to str
        Joined net of the first → joined net of the second.
    """

    parts: Mapping[str, str]
    nets: Mapping[str, str]


@cache
def _labels(kind: str) -> Mapping[str, str]:
    """Label of each pin: pins that can be exchanged share one."""
    labels: dict[str, str] = {}
    for swap in SWAPS.get(kind, ()):
        for one, other in swap.items():
            first = min(labels.get(one, one), labels.get(other, other))
            labels[one] = labels[other] = first
    return labels


def _label(one: PlacedPart, pin: str) -> str:
    label = _labels(one.kind).get(pin, pin)
    # Ends without a direction are alike whatever the kind; so are plus and anode, minus and cathode, of parts that may replace
    # each other.
    return (
        {"1": "end", "2": "end", "plus": "end", "minus": "end"}.get(label, label)
        if len(one.nets) == 2
        else label
    )


def turns_of(kind: str) -> tuple[Mapping[str, str], ...]:
    """Ways to lay a part on an equal one: as it is, and each exchange of its pins."""
    return ({}, *SWAPS.get(kind, ()))


def _likeness(one: PlacedPart, other: PlacedPart) -> float:
    """How alike two kinds are, 0 to 1."""
    if one.kind == other.kind:
        return 1.0
    return max((share for kinds, share in FAMILIES if {one.kind, other.kind} <= kinds), default=0.0)


def _closeness(one: PlacedPart, other: PlacedPart) -> float:
    """How near two main values are, 0 to 1; a half where one is not known."""
    first, second = (part.value(kind_of(part.part).main_value) for part in (one, other))
    if first is None or second is None:
        return 0.5
    if first == second:
        return 1.0
    if first <= 0.0 or second <= 0.0:
        return 0.0
    return math.exp(-abs(math.log(first / second)))


def _parts_base(first: Sequence[PlacedPart], second: Sequence[PlacedPart]) -> Array:
    base = np.zeros((len(first), len(second)))
    for row, one in enumerate(first):
        for column, other in enumerate(second):
            likeness = _likeness(one, other)
            if likeness:
                same = 1.0 if one.reference == other.reference else 0.0
                marked = 1.0 if one.part.marking and one.part.marking == other.part.marking else 0.0
                base[row, column] = likeness * (
                    0.6 + 0.2 * _closeness(one, other) + 0.1 * same + 0.1 * marked
                )
    return base


def _net_role(view: View, net: str) -> str:
    return "ground" if net in view.grounds else "supply" if net in view.supplies else "signal"


def _nets_base(views: tuple[View, View], nets: tuple[Sequence[str], Sequence[str]]) -> Array:
    alike = {("ground", "ground"): 1.0, ("supply", "supply"): 0.9, ("signal", "signal"): 0.7}
    base = np.zeros((len(nets[0]), len(nets[1])))
    for row, one in enumerate(nets[0]):
        for column, other in enumerate(nets[1]):
            roles = (_net_role(views[0], one), _net_role(views[1], other))
            pins = sorted((views[0].degree(one), views[1].degree(other)))
            base[row, column] = alike.get(roles, 0.25) * (0.6 + 0.25 * pins[0] / pins[1]) + 0.1 * (
                one == other
            )
    return base


def _incidence(view: View, nets: Sequence[str]) -> dict[str, Array]:
    """Parts by nets, one table a label of pin."""
    place = {net: index for index, net in enumerate(nets)}
    found: dict[str, Array] = {}
    for row, one in enumerate(view.parts):
        for pin, net in one.nets.items():
            table = found.setdefault(_label(one, pin), np.zeros((len(view.parts), len(nets))))
            table[row, place[net]] += 1.0
    return found


def _scaled(table: Array) -> Array:
    """Each entry over the larger of the highest in its row and in its column."""
    if not table.size:
        return table
    top = np.maximum(table.max(axis=1, keepdims=True), table.max(axis=0, keepdims=True))
    scaled: Array = np.divide(table, top, out=np.zeros_like(table), where=top > 0.0)
    return scaled


def _flooded(
    base_parts: Array, base_nets: Array, one: dict[str, Array], other: dict[str, Array]
) -> tuple[Array, Array]:
    labels = sorted(set(one) & set(other))
    parts, nets = _scaled(base_parts), _scaled(base_nets)
    for _ in range(ROUNDS):
        to_parts = sum((one[label] @ nets @ other[label].T for label in labels), np.zeros_like(parts))
        to_nets = sum((one[label].T @ parts @ other[label] for label in labels), np.zeros_like(nets))
        parts = _scaled(base_parts * (0.2 + _scaled(to_parts)))
        nets = _scaled(base_nets * (0.2 + _scaled(to_nets)))
    return parts, nets


def _assigned(scores: Array) -> dict[int, int]:
    from scipy.optimize import linear_sum_assignment  # takes long to load, and few commands need it

    rows, columns = linear_sum_assignment(-scores)
    return {
        int(row): int(column) for row, column in zip(rows, columns, strict=True) if scores[row, column] > 0.0
    }


def agreeing(one: PlacedPart, other: PlacedPart, nets: Mapping[str, str]) -> tuple[int, Mapping[str, str]]:
    """Pins of two parts that lie on paired nets, laid on each other in the best way, and that way."""
    best, way = -1, {}
    for turn in turns_of(other.kind) if one.kind == other.kind else ({},):
        score = sum(
            nets.get(net) == other.nets[turn.get(pin, pin)]
            for pin, net in one.nets.items()
            if turn.get(pin, pin) in other.nets
        )
        if score > best:
            best, way = score, dict(turn)
    return best, way


def paired(first: View, second: View) -> Pairing:
    """Pair the parts and the nets of two circuits.

    Parameters
    ----------
    first, second : View
        The circuits, wires joined.

    Returns
    -------
    Pairing
        Each part and net at most once; parts of kinds that have nothing in common stay alone.
    """
    nets = (sorted(first.pins), sorted(second.pins))
    if not first.parts or not second.parts:
        return Pairing(parts={}, nets={})
    base_parts = _parts_base(first.parts, second.parts)
    base_nets = _nets_base((first, second), nets)
    tables = _incidence(first, nets[0]), _incidence(second, nets[1])
    best: tuple[int, Pairing] | None = None
    fixed: dict[int, int] = {}
    for _ in range(TRIES):
        allowed = _with_fixed(base_parts, fixed)
        parts, similar = _flooded(allowed, base_nets, *tables)
        pairs, told = _settled(first, second, nets, allowed, parts, similar)
        pairing = _pairing(first, second, pairs, told)
        cost = _cost(first, second, pairing)
        if best is None or cost < best[0]:
            best = (cost, pairing)
        tied = _tied(parts, fixed)
        if best[0] == 0 or tied is None or tied not in pairs:
            break
        # Halves that mirror each other have equal scores, and may be mixed: settle one part of them, and let that spread.
        fixed[tied] = pairs[tied]
    assert best is not None
    return best[1]


def _with_fixed(base: Array, fixed: Mapping[int, int]) -> Array:
    """The base with some pairs settled: nothing else is possible for their parts."""
    allowed = base.copy()
    for row, column in fixed.items():
        kept = base[row, column]
        allowed[row, :] = 0.0
        allowed[:, column] = 0.0
        allowed[row, column] = kept
    return allowed


def _tied(scores: Array, fixed: Mapping[int, int]) -> int | None:
    """Row with the highest score that several columns share, not settled yet."""
    best: tuple[float, int] | None = None
    for row in range(scores.shape[0]):
        top = float(scores[row].max())
        ties = int((scores[row] >= (1.0 - TIE) * top).sum())
        if row not in fixed and top > 0.0 and ties > 1 and (best is None or top > best[0]):
            best = (top, row)
    return None if best is None else best[1]


def _settled(
    first: View,
    second: View,
    nets: tuple[Sequence[str], Sequence[str]],
    base: Array,
    parts: Array,
    similar: Array,
) -> tuple[dict[int, int], dict[str, str]]:
    """Parts and nets paired in turn until nothing moves."""
    pairs = _assigned(np.where(base > 0.0, parts + 1e-6 * base, 0.0))
    told: dict[str, str] = {}
    for _ in range(SETTLING):
        net_pairs = _assigned(_votes(first, second, nets, pairs, similar))
        told = {nets[0][row]: nets[1][column] for row, column in net_pairs.items()}
        again = _assigned(_part_scores(first, second, told, base, parts))
        if again == pairs:
            break
        pairs = again
    return pairs, told


def _pairing(first: View, second: View, pairs: Mapping[int, int], nets: Mapping[str, str]) -> Pairing:
    return Pairing(
        parts={
            first.parts[row].reference: second.parts[column].reference
            for row, column in pairs.items()
            if _belong(first.parts[row], second.parts[column], nets)
        },
        nets=nets,
    )


def _cost(first: View, second: View, pairing: Pairing) -> int:
    """Parts that stay alone, and pins of paired parts that disagree."""
    alone = len(first.parts) + len(second.parts) - 2 * len(pairing.parts)
    amiss = 0
    for reference, other in pairing.parts.items():
        one, there = first.by_reference[reference], second.by_reference[other]
        amiss += max(len(one.nets), len(there.nets)) - agreeing(one, there, pairing.nets)[0]
    return 2 * alone + amiss


def _votes(
    first: View,
    second: View,
    nets: tuple[Sequence[str], Sequence[str]],
    pairs: Mapping[int, int],
    similar: Array,
) -> Array:
    """How many pins of paired parts put two nets together, and how alike the nets are otherwise."""
    rows = {net: index for index, net in enumerate(nets[0])}
    columns = {net: index for index, net in enumerate(nets[1])}
    votes = np.zeros_like(similar)
    for row, column in pairs.items():
        one, other = first.parts[row], second.parts[column]
        turns = turns_of(other.kind) if one.kind == other.kind else ({},)
        ways = [
            [
                (rows[net], columns[other.nets[turn.get(pin, pin)]])
                for pin, net in one.nets.items()
                if turn.get(pin, pin) in other.nets
            ]
            for turn in turns
        ]
        best = max(ways, key=lambda way: sum(similar[place] for place in way))
        for place in best:
            votes[place] += 1.0
    return votes + 0.3 * similar


def _part_scores(first: View, second: View, nets: Mapping[str, str], base: Array, flooded: Array) -> Array:
    scores = np.zeros_like(base)
    for row, column in zip(*np.nonzero(base), strict=True):
        one, other = first.parts[row], second.parts[column]
        pins = max(len(one.nets), len(other.nets), 1)
        share = agreeing(one, other, nets)[0] / pins
        scores[row, column] = PINS * share + (1.0 - PINS) * base[row, column] + 0.02 * flooded[row, column]
    return scores


def _belong(one: PlacedPart, other: PlacedPart, nets: Mapping[str, str]) -> bool:
    """Whether two paired parts are the same one: a pin agrees, or the reference does."""
    return agreeing(one, other, nets)[0] > 0 or one.reference == other.reference
