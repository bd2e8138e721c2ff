"""Placement: each unit goes where it costs least, first one by one, then again and again until none wants to move.

The cost counts what a reader minds: wire, bends, crossings, wires through symbols and text, flow from right to left, rails at
different heights, parts of a group apart, a sprawling page. Everything is done in a fixed order, so the same circuit always gives
the same drawing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit
from lidoff.schematic.ground_plan import OVERLAP, GroundPlan, Real, Spot, Whole, area
from lidoff.schematic.levels import Levels
from lidoff.schematic.options import Group
from lidoff.schematic.units import Unit, Variant

__all__ = ["place_units"]

ASPECT = 1.7
"""Width over height that the page tends to."""
SWEEPS = 8


def place_units(
    circuit: Circuit,
    levels: Levels,
    units: Sequence[Unit],
    groups: Sequence[Group] = (),
    start: Mapping[str, tuple[int, int]] | None = None,
) -> GroundPlan:
    """Place all units.

    Parameters
    ----------
    circuit : Circuit
        Whose parts the units hold.
    levels : Levels
        From `find_levels`.
    units : sequence of Unit
        From `build_units`.
    groups : sequence of Group
        Parts that should stay together.
    start : mapping of str to (int, int), optional
        Places to begin from, by a unit's first reference.

    Returns
    -------
    GroundPlan
        With a spot for every unit.
    """
    total = sum(_size(unit) for unit in units)
    side = int((6.0 * total) ** 0.5) + 60
    plan = GroundPlan(
        width=2 * side, height=side, units=units, flow=_flow(circuit, levels, units), mates=_mates(units, groups)
    )  # fmt: skip
    order = _order(plan, units)
    for number in order:
        unit = units[number]
        if unit.pinned is not None:
            plan.put(number, Spot(0, side + unit.pinned.x, side // 2 + unit.pinned.y))
    for number in order:
        if units[number].pinned is None:
            plan.put(number, _best(plan, number))
    for _ in range(SWEEPS):
        moved = False
        for number in order:
            if units[number].pinned is not None:
                continue
            old = plan.lift(number)
            new = _best(plan, number, old)
            plan.put(number, new)
            moved = moved or new != old
        if not moved:
            break
    return plan


def _size(unit: Unit) -> float:
    variant = unit.variants[0]
    x0 = min(r[0] for r in variant.rooms)
    y0 = min(r[1] for r in variant.rooms)
    x1 = max(r[2] for r in variant.rooms)
    y1 = max(r[3] for r in variant.rooms)
    return (x1 - x0 + 2.0) * (y1 - y0 + 2.0)


def _flow(
    circuit: Circuit, levels: Levels, units: Sequence[Unit]
) -> dict[int, list[tuple[int, float, bool]]]:
    """For each unit: others, weight, and whether the other should stand to its left."""
    home = {reference: number for number, unit in enumerate(units) for reference in unit.references}
    edges: dict[tuple[int, int], float] = {}

    def edge(a: str, b: str, weight: float) -> None:
        i, j = home[a], home[b]
        if i != j:
            edges[(i, j)] = max(edges.get((i, j), 0.0), weight)

    nets = circuit.nets
    for part in circuit.parts:
        kind = kind_of(part)
        inputs = {part.pins[g] for g, _ in kind.controls if g in part.pins}
        inputs |= {net for pin, net in part.pins.items() if part.pin_roles.get(pin) == "input"}
        outputs = {net for pin, net in part.pins.items() if part.pin_roles.get(pin) == "output"}
        for net in sorted(inputs):
            if levels.role[net] == "signal":
                for pin in nets[net]:
                    if pin.reference != part.reference and not _steered(circuit, pin.reference, pin.pin):
                        edge(pin.reference, part.reference, 1.0)
        for net in sorted(outputs):
            if levels.role[net] == "signal":
                for pin in nets[net]:
                    if pin.reference != part.reference:
                        edge(part.reference, pin.reference, 1.0)
        if kind.supplies:
            for other in circuit.parts:
                if not kind_of(other).supplies:
                    edge(part.reference, other.reference, 0.25)
    flow: dict[int, list[tuple[int, float, bool]]] = {}
    for (i, j), weight in sorted(edges.items()):
        if edges.get((j, i), 0.0) >= weight:
            continue
        flow.setdefault(i, []).append((j, weight, False))
        flow.setdefault(j, []).append((i, weight, True))
    return flow


def _steered(circuit: Circuit, reference: str, pin: str) -> bool:
    part = circuit.part(reference)
    return part.pin_roles.get(pin) == "input" or any(g == pin for g, _ in kind_of(part).controls)


def _mates(units: Sequence[Unit], groups: Sequence[Group]) -> dict[int, list[int]]:
    home = {reference: number for number, unit in enumerate(units) for reference in unit.references}
    mates: dict[int, list[int]] = {}
    for group in groups:
        members = sorted({home[r] for r in group.parts if r in home})
        for number in members:
            mates.setdefault(number, []).extend(m for m in members if m != number)
    return mates


def _order(plan: GroundPlan, units: Sequence[Unit]) -> list[int]:
    """Sources first, then always the unit with most ties to those already taken."""
    nets = [{lead.net for lead in unit.variants[0].wires} for unit in units]
    rails = [{flag.net for flag in unit.variants[0].flags if flag.role != "ground"} for unit in units]
    left = list(range(len(units)))
    order: list[int] = []
    before = [sum(1 for _, w, is_left in plan.flow.get(k, ()) if is_left and w >= 1.0) for k in left]
    while left:

        def merit(k: int) -> tuple[float, float, int]:
            ties = sum(len(nets[k] & nets[o]) for o in order)
            same_rail = sum(len(rails[k] & rails[o]) for o in order) > 0
            lead = any(is_left and w == 0.25 for _, w, is_left in plan.flow.get(k, ())) or not plan.flow.get(
                k
            )
            return (
                10.0 * min(ties, 3) + same_rail - 0.5 * before[k] - (5.0 if lead and not ties else 0.0),
                _size(units[k]),
                -k,
            )

        best = max(left, key=merit)
        order.append(best)
        left.remove(best)
    return order  # fmt: skip


def _best(plan: GroundPlan, number: int, old: Spot | None = None) -> Spot:
    """Cheapest spot of a unit, all variants tried over a window round what it is tied to."""
    unit = plan.units[number]
    if not plan.spots:
        return Spot(0, plan.width // 2, plan.height // 2)
    x_low, y_low, x_high, y_high = _window(plan, number)
    best: tuple[float, Spot] | None = None
    box = _extent(plan)
    for choice, variant in enumerate(unit.variants):
        left = min(r[0] for r in variant.rooms)
        top = min(r[1] for r in variant.rooms)
        right = max(r[2] for r in variant.rooms)
        bottom = max(r[3] for r in variant.rooms)
        xs = np.arange(max(x_low, 1 - left), min(x_high, plan.width - 2 - right) + 1)
        ys = np.arange(max(y_low, 1 - top), min(y_high, plan.height - 2 - bottom) + 1)
        if not (xs.size and ys.size):
            continue
        grid_x, grid_y = (g.ravel() for g in np.meshgrid(xs, ys))
        cost = _cost(plan, number, variant, grid_x, grid_y, (left, top, right, bottom), box)
        if old is not None and old.variant == choice:
            cost = cost - 0.01 * ((grid_x == old.x) & (grid_y == old.y))
        at = int(np.argmin(cost))
        if best is None or cost[at] < best[0] - 1e-9:
            best = (float(cost[at]), Spot(choice, int(grid_x[at]), int(grid_y[at])))
    assert best is not None
    return best[1]


def _extent(plan: GroundPlan) -> tuple[int, int, int, int]:
    boxes = []
    for number, spot in plan.spots.items():
        for x0, y0, x1, y1 in plan.units[number].variants[spot.variant].rooms:
            boxes.append((spot.x + x0, spot.y + y0, spot.x + x1, spot.y + y1))
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip


def _window(plan: GroundPlan, number: int) -> tuple[int, int, int, int]:
    variant = plan.units[number].variants[0]
    ends = [end for net in {lead.net for lead in variant.wires} for end in plan.trees.get(net, ())]
    if ends:
        margin = 16
        xs = [x for e in ends for x in (e.x0, e.x1)]
        ys = [y for e in ends for y in (e.y0, e.y1)]
        return (min(xs) - margin, min(ys) - margin, max(xs) + margin, max(ys) + margin)
    x0, y0, x1, y1 = _extent(plan)
    return (x0 - 4, y0 - 14, x1 + 10, y1 + 10)


def _cost(
    plan: GroundPlan,
    number: int,
    variant: Variant,
    x: Whole,
    y: Whole,
    frame: tuple[int, int, int, int],
    box: tuple[int, int, int, int],
) -> Real:
    _, _, rooms, wires = plan.sums()
    cost: Real = np.full(x.shape, variant.bias)
    for rect in variant.rooms:
        cost += OVERLAP * area(rooms, rect, x, y)
        cost += 0.5 * area(wires, rect, x, y)
    for rect in variant.bodies:
        cost += 6.0 * area(wires, rect, x, y)
    for lead in variant.wires:
        ends = plan.trees.get(lead.net, ())
        if not ends:
            continue
        px, py = x + lead.x, y + lead.y
        near = None
        for end in ends[:24]:
            path = plan.path_cost(px, py, lead.dx, lead.dy, end)
            near = path if near is None else np.minimum(near, path)
        assert near is not None
        cost += near
    cost += _flow_cost(plan, number, x)
    cost += _rail_cost(plan, variant, x, y)
    cost += _page_cost(x, y, frame, box)
    cost += _mate_cost(plan, number, x, y)
    return cost


def _flow_cost(plan: GroundPlan, number: int, x: Whole) -> Real:
    cost: Real = np.zeros(x.shape)
    for other, weight, is_left in plan.flow.get(number, ()):
        spot = plan.spots.get(other)
        if spot is None:
            continue
        behind = (spot.x + 3 - x) if is_left else (x + 3 - spot.x)
        cost += weight * np.clip(behind, 0, 12)
    return cost


def _rail_cost(plan: GroundPlan, variant: Variant, x: Whole, y: Whole) -> Real:
    """Rails want one height, and neighbours on the same rail want to stand near each other."""
    cost: Real = np.zeros(x.shape)
    for flag in variant.flags:
        nearest = None
        for number, spot in plan.spots.items():
            for other in plan.units[number].variants[spot.variant].flags:
                if other.net != flag.net or other.dy != flag.dy:
                    continue
                away = np.minimum(np.abs(y + flag.y - spot.y - other.y) * 0.5, 3.0) + np.minimum(
                    np.abs(x + flag.x - spot.x - other.x) * (0.06 if flag.role != "ground" else 0.02), 3.0
                )
                nearest = away if nearest is None else np.minimum(nearest, away)
        if nearest is not None:
            cost += nearest
    return cost


def _page_cost(x: Whole, y: Whole, frame: tuple[int, int, int, int], box: tuple[int, int, int, int]) -> Real:
    x0 = np.minimum(box[0], x + frame[0])
    x1 = np.maximum(box[2], x + frame[2])
    y0 = np.minimum(box[1], y + frame[1])
    y1 = np.maximum(box[3], y + frame[3])
    wide, high = (x1 - x0).astype(float), (y1 - y0).astype(float)
    result: Real = 0.25 * (wide + high) + 0.35 * np.maximum(wide, ASPECT * high) + 1e-4 * (x + y)
    return result


def _mate_cost(plan: GroundPlan, number: int, x: Whole, y: Whole) -> Real:
    cost: Real = np.zeros(x.shape)
    spots = [plan.spots[m] for m in plan.mates.get(number, ()) if m in plan.spots]
    if not spots:
        return cost
    x0, x1 = min(s.x for s in spots), max(s.x for s in spots)
    y0, y1 = min(s.y for s in spots), max(s.y for s in spots)
    cost += 0.4 * (np.clip(x0 - x, 0, None) + np.clip(x - x1, 0, None))
    cost += 0.4 * (np.clip(y0 - y, 0, None) + np.clip(y - y1, 0, None))
    return cost
