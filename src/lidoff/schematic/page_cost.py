"""What a place costs: overlap, flow against the reading order, uneven or hidden rails, a sprawling page, groups apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lidoff.schematic.ground_plan import OVERLAP, GroundPlan, Real, Whole
from lidoff.schematic.many_places import area
from lidoff.schematic.unit import Unit, Variant, flag_room

__all__ = ["Frame", "Sizes", "axis_of", "extent_of", "overlap_costs", "page_total", "plain_costs", "sizes_of"]

AREA = 0.006
"""What a unit of the page's area costs."""
WIDE, HIGH, TOO_WIDE = 0.06, 0.2, 0.5
"""What a step of the page's width and of its height costs, and a step of width above what suits its content."""
TALL_WIDE, TALL_HIGH, TALL_TOO_WIDE = 0.4, 0.03, 2.0
"""The same on a page that is to be tall."""
UNEVEN = 0.8
"""What each step between the heights of one rail costs."""
SPLIT = 8.0
"""The most that uneven heights of a rail cost."""
CUT = 3.0
"""What each wire costs that a drop has to cross on its way to the rail."""
HIDDEN = 2.5
"""What a drop costs whose way to the edge of the page is built over."""
STAGGERED, MOST_STAGGERED = 0.5, 5.0
"""What each step costs by which parallel branches hang at different heights, and the most of it."""
LOPSIDED, MOST_LOPSIDED, NO_IMAGE = 0.8, 10.0, 8.0
"""What each step costs by which mirror images miss each other's height or the axis, the most of it, and a part not mirrored."""
Frame = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rooms and bodies of all variants of a unit, each with the number of its variant."""

    rooms: Whole
    room_owner: Whole
    room_starts: Whole
    bodies: Whole
    body_owner: Whole
    body_starts: Whole


@dataclass(frozen=True, slots=True)
class Sizes:
    """Frame of each variant of each unit, and what they cover."""

    frames: list[list[Frame]]
    tables: list[Table]


def sizes_of(units: Sequence[Unit]) -> Sizes:
    """Frames and covers of all units, worked out once."""
    return Sizes(
        [[_frame(variant) for variant in unit.variants] for unit in units], [_table(unit) for unit in units]
    )


def _table(unit: Unit) -> Table:
    rooms = [(k, r) for k, variant in enumerate(unit.variants) for r in variant.rooms]
    bodies = [(k, r) for k, variant in enumerate(unit.variants) for r in variant.bodies]
    room_owner = np.array([k for k, _ in rooms])
    body_owner = np.array([k for k, _ in bodies])
    return Table(
        rooms=np.array([r for _, r in rooms]),
        room_owner=room_owner,
        room_starts=np.flatnonzero(np.diff(room_owner, prepend=-1)),
        bodies=np.array([r for _, r in bodies]),
        body_owner=body_owner,
        body_starts=np.flatnonzero(np.diff(body_owner, prepend=-1)),
    )


def _frame(variant: Variant) -> Frame:
    return (
        min(r[0] for r in variant.rooms), min(r[1] for r in variant.rooms),
        max(r[2] for r in variant.rooms), max(r[3] for r in variant.rooms),
    )  # fmt: skip


def extent_of(plan: GroundPlan, sizes: Sizes) -> Frame:
    """What the placed units cover together, their text and rail symbols included."""
    frames = []
    for number, spot in plan.spots.items():
        f = sizes.frames[number][spot.variant]
        frames.append((spot.x + f[0], spot.y + f[1], spot.x + f[2], spot.y + f[3]))
    return (
        min(f[0] for f in frames), min(f[1] for f in frames), max(f[2] for f in frames), max(f[3] for f in frames),
    )  # fmt: skip


def overlap_costs(plan: GroundPlan, number: int, x: Whole, y: Whole, sizes: Sizes) -> Real:
    """Cost of every variant at every candidate by itself and by the rooms it would cover, shape (V, N)."""
    rooms, _ = plan.areas()
    table = sizes.tables[number]
    bias = np.array([[variant.bias] for variant in plan.units[number].variants])
    covered = np.add.reduceat(area(rooms, table.rooms, x, y), table.room_starts, axis=0)
    cost: Real = bias + OVERLAP * covered
    return cost


def plain_costs(plan: GroundPlan, number: int, x: Whole, y: Whole, sizes: Sizes) -> Real:
    """Cost of every variant at every candidate, wires and what it would cover apart, shape (V, N)."""
    unit = plan.units[number]
    cost: Real = np.zeros((len(unit.variants), x.size))
    box = extent_of(plan, sizes)
    cost += _flow_cost(plan, number, x)[None, :]
    if number in plan.mates:
        cost += _mate_cost(plan, number, x, y)[None, :]
    if number in plan.mirror:
        cost += _mirror_cost(plan, number, x, y)
    if number in plan.beside:
        cost += _beside_cost(plan, number, y)
    seen: dict[str, tuple[Whole, Whole]] = {}
    for choice, variant in enumerate(unit.variants):
        if variant.flags:
            cost[choice] += _rail_cost(plan, variant, x, y, seen)
    cost += _page_cost(x, y, np.array(sizes.frames[number])[:, :, None], box, plan)
    return cost


def _flow_cost(plan: GroundPlan, number: int, x: Whole) -> Real:
    cost: Real = np.zeros(x.shape)
    for other, weight, is_left in plan.flow.get(number, ()):
        spot = plan.spots.get(other)
        if spot is not None:
            behind = (spot.x + 3 - x) if is_left else (x + 3 - spot.x)
            cost += weight * np.clip(behind, 0, 12)
    return cost


def _rail_cost(
    plan: GroundPlan, variant: Variant, x: Whole, y: Whole, seen: dict[str, tuple[Whole, Whole]]
) -> Real:
    """Rails want one height and a free view up or down; neighbours on the same rail want to stand near each other."""
    cost: Real = np.zeros(x.shape)
    heights = plan.heights()
    for flag in variant.flags:
        if flag.net not in seen:
            there = [place for places in plan.drops.get(flag.net, {}).values() for place in places]
            seen[flag.net] = (
                np.array(sorted({at for _, at in there}))[:, None],
                np.array(sorted({at for at, _ in there}))[:, None],
            )
        levels, columns = seen[flag.net]
        level, column = y + flag.level, x + flag.column
        if levels.size:
            near = 0.12 if flag.upward else 0.03
            cost += np.minimum(np.abs(levels - level).min(axis=0) * UNEVEN, SPLIT)
            cost += np.minimum(np.abs(columns - column).min(axis=0) * near, 4.0)
        hidden = heights[level, column] if flag.upward else heights[-1, column] - heights[level + 1, column]
        cost += HIDDEN * (hidden > 0)
        if levels.size:
            # the drop will run on to where the rail lies furthest out, across any wire on its way
            lying = plan.lying()
            if flag.upward:
                cost += CUT * (lying[level, column] - lying[np.minimum(levels.min(), level), column])
            else:
                cost += CUT * (lying[np.maximum(levels.max(), level), column] - lying[level, column])
    return cost


def _page_cost(x: Whole, y: Whole, frames: Whole, box: Frame, plan: GroundPlan) -> Real:
    """What the page grows by, for frames of shape (V, 4, 1)."""
    x0 = np.minimum(box[0], x + frames[:, 0])
    x1 = np.maximum(box[2], x + frames[:, 2])
    y0 = np.minimum(box[1], y + frames[:, 1])
    y1 = np.maximum(box[3], y + frames[:, 3])
    result: Real = _sprawl((x1 - x0).astype(float), (y1 - y0).astype(float), plan) + 1e-4 * (x + y)
    return result


def _sprawl(wide: Real, high: Real, plan: GroundPlan) -> Real:
    """What pages of some widths and heights cost."""
    per_wide, per_high, too_wide = (
        (TALL_WIDE, TALL_HIGH, TALL_TOO_WIDE) if plan.tall else (WIDE, HIGH, TOO_WIDE)
    )
    beyond = too_wide * np.maximum(wide - plan.limit, 0.0)
    cost: Real = per_wide * wide + per_high * high + AREA * wide * high + beyond
    return cost


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


def axis_of(plan: GroundPlan, number: int) -> float | None:
    """Twice the place of the axis about which the other pairs of a mirror image lie, or None while there are none."""
    group = plan.mirror[number].group
    sums = []
    for one, image in plan.mirror.items():
        if image.group != group or one > image.mate or number in (one, image.mate):
            continue
        spot, other = plan.spots.get(one), plan.spots.get(image.mate)
        if spot is not None and other is not None:
            shift = image.shift.get((spot.variant, other.variant))
            if shift is not None:
                sums.append(spot.x + other.x - shift)
    return float(np.median(sums)) if sums else None


def _mirror_cost(plan: GroundPlan, number: int, x: Whole, y: Whole) -> Real:
    """What it costs to stand where the mirror image does not call for, shape (V, N)."""
    image = plan.mirror[number]
    variants = len(plan.units[number].variants)
    cost: Real = np.zeros((variants, x.size))
    spot = plan.spots.get(image.mate)
    if image.mate != number and spot is None:
        return cost
    axis = axis_of(plan, number)
    for choice in range(variants):
        shift = image.shift.get((choice, choice if spot is None else spot.variant))
        if shift is None:
            cost[choice] += NO_IMAGE
            continue
        if spot is not None:
            cost[choice] += np.minimum(LOPSIDED * np.abs(y - spot.y), MOST_LOPSIDED)
        if axis is not None:
            there = x if spot is None else spot.x
            cost[choice] += np.minimum(LOPSIDED * np.abs(x + there - shift - axis), MOST_LOPSIDED)
    return plan.evenness * cost


def _beside_cost(plan: GroundPlan, number: int, y: Whole) -> Real:
    """What it costs to hang at another height than the nearest of the branches parallel to it, shape (V, N)."""
    variants = plan.units[number].variants
    cost: Real = np.zeros((len(variants), y.size))
    there: dict[tuple[str, int], set[int]] = {}
    for mate in plan.beside[number]:
        spot = plan.spots.get(mate)
        if spot is not None:
            for lead in plan.units[mate].variants[spot.variant].wires:
                there.setdefault((lead.net, lead.dy), set()).add(spot.y + lead.y)
    for choice, variant in enumerate(variants) if there else ():
        for lead in variant.wires:
            levels = there.get((lead.net, lead.dy)) if lead.dy else None
            if levels:
                gap = np.abs(np.array(sorted(levels))[:, None] - (y + lead.y)).min(axis=0)
                cost[choice] += np.minimum(STAGGERED * gap, MOST_STAGGERED) / len(variant.wires)
    return cost


def page_total(plan: GroundPlan, sizes: Sizes) -> float:
    """Cost of the whole page."""
    total = sum(plan.wire_cost.values())
    total += OVERLAP * float(np.clip(plan.room - 1, 0, None).sum()) * 0.5
    total += 8.0 * float(((plan.body > 0) & ((plan.across > 0) | (plan.along > 0))).sum()) * 0.5
    box = extent_of(plan, sizes)
    total += float(_sprawl(np.array(box[2] - box[0]), np.array(box[3] - box[1]), plan))
    flags: dict[tuple[str, str], list[tuple[int, int]]] = {}
    heights, lying = plan.heights(), plan.lying()
    for number, spot in plan.spots.items():
        variant = plan.units[number].variants[spot.variant]
        total += variant.bias
        for other, weight, is_left in plan.flow.get(number, ()):
            there = plan.spots.get(other)
            if is_left and there is not None:
                total += weight * min(max(there.x + 3 - spot.x, 0), 12)
        for flag in variant.flags:
            column, level = spot.x + flag.column, spot.y + flag.level
            flags.setdefault((flag.net, flag.role), []).append((column, level))
            room = flag_room(flag)
            if flag.upward:
                hidden = heights[min(level, spot.y + room[1]), column]
            else:
                hidden = heights[-1, column] - heights[max(level, spot.y + room[3]) + 1, column]
            total += HIDDEN * float(hidden > 0)
        total += float(_mate_cost(plan, number, np.array([spot.x]), np.array([spot.y]))[0])
        if number in plan.beside:
            total += 0.5 * float(_beside_cost(plan, number, np.array([spot.y]))[spot.variant, 0])
        if number in plan.mirror:
            here = _mirror_cost(plan, number, np.array([spot.x]), np.array([spot.y]))
            total += 0.5 * float(here[spot.variant, 0])
    for (_, role), places in flags.items():
        near = 0.12 if role == "supply" else 0.03
        places.sort()
        end = min(y for _, y in places) if role == "supply" else max(y for _, y in places)
        for x, y in places:
            total += CUT * abs(float(lying[y, x] - lying[end, x]))
        for (ax, ay), (bx, by) in pairwise(places):
            total += min(abs(ay - by) * UNEVEN, SPLIT) + min(abs(ax - bx) * near, 4.0)
    return total
