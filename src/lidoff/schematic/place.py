"""Placement: each unit goes where it costs least, first one by one, then again and again until none wants to move.

The cost counts what a reader minds: wire, bends, crossings, wires through symbols and text, flow from right to left, rails at
different heights, parts of a group apart, a sprawling page. Then neighbourhoods are taken up and put down anew in another
order, and the better page is kept (large neighbourhood search: Shaw 1998). All is done in a fixed order with a seeded
generator, so the same circuit always gives the same drawing.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence

import numpy as np

from lidoff.circuit.netlist import Circuit
from lidoff.schematic.fixed import is_clear, origin_for, span_of
from lidoff.schematic.flow import reading_order
from lidoff.schematic.ground_plan import GroundPlan, Real, Spot, Whole
from lidoff.schematic.levels import Levels
from lidoff.schematic.many_places import area, gaps, path_costs
from lidoff.schematic.mirror import mirror_mates
from lidoff.schematic.options import Group
from lidoff.schematic.page_cost import Sizes, axis_of, overlap_costs, page_total, plain_costs, sizes_of
from lidoff.schematic.unit import Unit

__all__ = ["place_units"]

ASPECT, TALL = 1.7, 0.6
"""Width over height that the page tends to."""
SWEEPS = 6
EFFORT = 200
"""Placements tried in the search of a small page; a page of more units gets less for each."""
PATIENCE = 6.0
"""How much worse a page may be at first and still be followed."""
REACH = 14
"""How far from what it is tied to a unit is tried, in grid steps."""
PAIRED = 0.6
"""How often what is taken up brings its mirror image along."""
LOOKED_AT = 300
"""Candidates that are weighed in full: those nearest to what they are tied to that cover least."""
KEPT = 48
"""Candidates of each variant whose wires are looked at closely."""


def place_units(
    circuit: Circuit,
    levels: Levels,
    units: Sequence[Unit],
    groups: Sequence[Group] = (),
    *,
    effort: float = 1.0,
    seed: int = 0,
    known: Mapping[int, Spot] | None = None,
    start: GroundPlan | None = None,
    evenness: float = 1.0,
    tall: bool = False,
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
    effort : float
        How long to search, 1 for the usual.
    seed : int
        Another seed gives another search.
    known : mapping of int to Spot, optional
        Units that stay where they stood; the others find places among them, and nothing more is searched.
    start : GroundPlan, optional
        A placement of the same units, whose boxes may have had their pins in another order: where to set out from.
    evenness : float
        How much mirror images count, 1 for the usual.
    tall : bool
        Whether the page is to be higher than wide.

    Returns
    -------
    GroundPlan
        With a spot for every unit.
    """
    sizes = sizes_of(units)
    mirror = mirror_mates(circuit, levels, units)
    total = sum((f[0][2] - f[0][0] + 2) * (f[0][3] - f[0][1] + 2) for f in sizes.frames)
    aspect = TALL if tall else ASPECT
    wide = (2.2 * aspect * total) ** 0.5
    edge = max((max(-f[0], -f[1], f[2], f[3]) for frames in sizes.frames for f in frames), default=0) + 3
    fixed = {
        n: Spot(0, unit.pinned.x, unit.pinned.y) for n, unit in enumerate(units) if unit.pinned is not None
    }
    stay = {
        n: spot for n, spot in (known or {}).items() if n not in fixed and is_clear(n, spot, fixed, sizes)
    }
    across, down = span_of(fixed | stay, sizes)
    plan = GroundPlan(
        width=int(max(1.3 * wide, 64, across + 8)) + 2 * edge,
        height=int(max(1.3 * wide / aspect, 40, down + 8)) + 2 * edge,
        edge=edge,
        limit=max(26.0 if tall else 52.0, wide),
        units=units,
        flow=reading_order(circuit, levels, units, mirror),
        mates=_mates(units, groups),
        mirror=mirror,
        beside=_parallel(units),
        evenness=evenness,
        tall=tall,
    )  # fmt: skip
    order = _order(plan, units, sizes)
    plan.origin = origin_for(plan, fixed | stay, sizes)
    for number, spot in (fixed | stay).items():
        plan.put(number, Spot(spot.variant, spot.x + plan.origin[0], spot.y + plan.origin[1]))
    loose = [number for number in order if number not in fixed and number not in stay]
    begun = (
        start.spots if start is not None and (start.width, start.height) == (plan.width, plan.height) else {}
    )
    for number in loose:
        plan.put(number, begun[number] if number in begun else _best(plan, number, sizes))
    _settle(plan, loose, sizes, SWEEPS if len(loose) <= 10 else SWEEPS // 2)
    if stay:
        return plan
    if len(loose) > 2:
        _search(plan, loose, sizes, effort, seed)
    _by_name(plan, loose)
    return plan


def _by_name(plan: GroundPlan, loose: Sequence[int]) -> None:
    """Units that could stand for one another stand in the order of their references, left to right."""
    alike: dict[object, list[int]] = {}
    for number in loose:
        unit = plan.units[number]
        key = tuple(
            (
                v.rooms,
                v.bodies,
                v.flags,
                tuple((w.net, w.x, w.y, w.dx, w.dy) for w in v.wires if len(plan.homes[w.net]) > 1),
            )
            for v in unit.variants
        )
        looks = tuple(
            (s.leads[0].pin if s.leads else "", len(s.leads)) for s, _, _ in unit.variants[0].shapes
        )
        alike.setdefault((key, looks, unit.alike), []).append(number)
    for numbers in alike.values():
        spots = sorted((plan.spots[n] for n in numbers), key=lambda spot: (spot.x, spot.y))
        if len(numbers) > 1:
            _restore(plan, dict(zip(sorted(numbers), spots, strict=True)))


def _settle(plan: GroundPlan, order: Sequence[int], sizes: Sizes, sweeps: int) -> None:
    for _ in range(sweeps):
        moved = False
        for number in order:
            old = plan.lift(number)
            new = _best(plan, number, sizes, old)
            plan.put(number, new)
            moved = moved or new != old
        if not moved:
            break


def _search(plan: GroundPlan, loose: Sequence[int], sizes: Sizes, effort: float, seed: int) -> None:
    """Take up a few neighbours, put them down in another order; worse pages are borne less and less."""
    rng = random.Random(1000 * seed + 17 * int(plan.evenness > 1.0) + len(loose))
    neighbours = _neighbours(plan, loose)
    now = best = page_total(plan, sizes)
    kept = dict(plan.spots)
    spent = 0.0
    limit = effort * EFFORT * min(len(loose) / 8.0, (8.0 / len(loose)) ** 0.75)
    while spent < limit:
        patience = PATIENCE * (1.0 - spent / limit)
        picked = _pick(rng, list(loose), neighbours)
        paired = bool(plan.mirror) and rng.random() < PAIRED
        if paired:
            mates = (plan.mirror[n].mate for n in picked if n in plan.mirror)
            picked = list(dict.fromkeys([*picked, *(mate for mate in mates if mate in neighbours)]))
        old = {number: plan.spots[number] for number in picked}
        for number in picked:
            plan.lift(number)
        rng.shuffle(picked)
        for number in picked:
            if number not in plan.spots:
                plan.put(number, _best(plan, number, sizes))
                if paired:
                    _put_image(plan, number)
        for number in [] if paired else picked[:-1]:
            before = plan.lift(number)
            plan.put(number, _best(plan, number, sizes, before))
        spent += 2 * len(picked) - 1
        total = page_total(plan, sizes)
        if total < now + patience * rng.random():
            now = total
            if now < best - 1e-6:
                best, kept = now, dict(plan.spots)
        else:
            _restore(plan, old)
    _restore(plan, {number: spot for number, spot in kept.items() if plan.spots[number] != spot})
    _settle(plan, loose, sizes, 2)


def _put_image(plan: GroundPlan, number: int) -> None:
    """Put the mirror image of a unit that was just placed where it belongs, if it is free and the page is wide enough."""
    image = plan.mirror.get(number)
    if image is None or image.mate in plan.spots:
        return
    spot, axis = plan.spots[number], axis_of(plan, number)
    for (mine, its), shift in image.shift.items():
        x = axis + shift - spot.x if axis is not None else None
        if mine == spot.variant and x is not None and plan.edge <= x < plan.width - plan.edge:
            plan.put(image.mate, Spot(its, round(x), spot.y))
            return


def _pick(rng: random.Random, loose: list[int], neighbours: Mapping[int, Sequence[int]]) -> list[int]:
    """A few units that are tied to each other."""
    size = min(len(loose), rng.choice((1, 2, 3, 3, 4, 5)))
    picked = [rng.choice(loose)]
    pool = list(neighbours[picked[0]])
    while len(picked) < size:
        pool = [n for n in pool if n not in picked] or [n for n in loose if n not in picked]
        picked.append(rng.choice(pool))
        pool.extend(neighbours[picked[-1]])
    return picked


def _restore(plan: GroundPlan, spots: Mapping[int, Spot]) -> None:
    for number in spots:
        plan.lift(number)
    for number, spot in spots.items():
        plan.put(number, spot)


def _neighbours(plan: GroundPlan, loose: Sequence[int]) -> dict[int, list[int]]:
    nets = {n: {lead.net for lead in plan.units[n].variants[0].wires} for n in loose}
    return {n: [m for m in loose if m != n and nets[n] & nets[m]] for n in loose}


def _mates(units: Sequence[Unit], groups: Sequence[Group]) -> dict[int, list[int]]:
    home = {reference: number for number, unit in enumerate(units) for reference in unit.references}
    mates: dict[int, list[int]] = {}
    for group in groups:
        members = sorted({home[r] for r in group.parts if r in home})
        for number in members:
            mates.setdefault(number, []).extend(m for m in members if m != number)
    return mates


def _parallel(units: Sequence[Unit]) -> dict[int, list[int]]:
    """Units that lead from and to the same two nets as others, one of which at least is wired."""
    alike: dict[tuple[frozenset[str], frozenset[str]], list[int]] = {}
    for number, unit in enumerate(units):
        variant = unit.variants[0]
        wired = frozenset(lead.net for lead in variant.wires)
        ends = frozenset(flag.net for flag in variant.flags)
        if wired and len(wired) == len(variant.wires) and len(wired) + len(ends) == 2:
            alike.setdefault((wired, ends), []).append(number)
    return {
        n: [m for m in numbers if m != n] for numbers in alike.values() for n in numbers if len(numbers) > 1
    }


def _order(plan: GroundPlan, units: Sequence[Unit], sizes: Sizes) -> list[int]:
    """Sources first, then always the unit with most ties to those already taken."""
    nets = [{lead.net for lead in unit.variants[0].wires} for unit in units]
    rails = [{flag.net for flag in unit.variants[0].flags if flag.role != "ground"} for unit in units]
    left = list(range(len(units)))
    order: list[int] = []
    before = [sum(w for _, w, is_left in plan.flow.get(k, ()) if is_left) for k in left]
    while left:

        def merit(k: int) -> tuple[float, int, int]:
            ties = sum(len(nets[k] & nets[o]) for o in order)
            same_rail = any(rails[k] & rails[o] for o in order)
            f = sizes.frames[k][0]
            return (10.0 * min(ties, 3) + same_rail - 0.5 * before[k], (f[2] - f[0]) * (f[3] - f[1]), -k)

        best = max(left, key=merit)
        order.append(best)
        left.remove(best)
    return order


def _best(plan: GroundPlan, number: int, sizes: Sizes, old: Spot | None = None) -> Spot:
    """Cheapest spot of a unit, all variants tried over the places that line up with what it is tied to."""
    unit = plan.units[number]
    if not plan.spots:
        return Spot(0, plan.width // 2, plan.height // 2)
    x, y = _candidates(plan, number, old)
    covering = overlap_costs(plan, number, x, y, sizes)
    pairs, starts, owner = _pairs(plan, unit)
    if pairs.size:
        near = _nearest(x, y, pairs, starts, owner, covering.shape)
        if x.size > LOOKED_AT:
            likely = np.sort(np.argpartition((covering + near).min(axis=0), LOOKED_AT)[:LOOKED_AT])
            x, y, covering, near = x[likely], y[likely], covering[:, likely], near[:, likely]
        cost = covering + plain_costs(plan, number, x, y, sizes)
        keep = min(KEPT, x.size)
        chosen = np.argpartition(cost + near, keep - 1, axis=1)[:, :keep]
    else:
        cost = covering + plain_costs(plan, number, x, y, sizes)
        chosen = np.tile(np.arange(x.size), (len(unit.variants), 1))
    chosen.sort(axis=1)
    cost = np.take_along_axis(cost, chosen, axis=1)
    x, y = x[chosen], y[chosen]
    if pairs.size:
        row_owner = np.repeat(owner, np.diff([*starts, len(pairs)]))
        paths = path_costs(plan, x[row_owner], y[row_owner], pairs)
        for choice, nearest in zip(owner, np.minimum.reduceat(paths, starts, axis=0), strict=True):
            cost[choice] += nearest
    _, wires = plan.areas()
    table = sizes.tables[number]
    covered = area(wires, table.bodies, x[table.body_owner], y[table.body_owner])
    cost += 8.0 * np.add.reduceat(covered, table.body_starts, axis=0)
    covered = area(wires, table.rooms, x[table.room_owner], y[table.room_owner])
    cost += 0.5 * np.add.reduceat(covered, table.room_starts, axis=0)
    if old is not None:
        cost[old.variant] -= 0.01 * ((x[old.variant] == old.x) & (y[old.variant] == old.y))
    variant, place = divmod(int(np.argmin(cost)), cost.shape[1])
    return Spot(variant, int(x[variant, place]), int(y[variant, place]))


def _nearest(x: Whole, y: Whole, pairs: Whole, starts: Whole, owner: Whole, shape: tuple[int, ...]) -> Real:
    """How far the pins of each variant are at least from what they are tied to, shape (V, N)."""
    near: Real = np.zeros(shape)
    for choice, nearest in zip(owner, np.minimum.reduceat(gaps(x, y, pairs), starts, axis=0), strict=True):
        near[choice] += nearest
    return near


def _pairs(plan: GroundPlan, unit: Unit) -> tuple[Whole, Whole, Whole]:
    """Pairs of pin and target, where each pin's begin, and to which variant each pin belongs."""
    pairs: list[tuple[int, ...]] = []
    starts: list[int] = []
    owner: list[int] = []
    for choice, variant in enumerate(unit.variants):
        for lead in variant.wires:
            ends = plan.trees.get(lead.net, ())
            if not ends:
                continue
            starts.append(len(pairs))
            owner.append(choice)
            pairs.extend(
                (lead.x, lead.y, lead.dx, lead.dy, e.x0, e.y0, e.x1, e.y1, e.dx, e.dy) for e in ends[:30]
            )
    return np.array(pairs, dtype=np.int64), np.array(starts, dtype=np.int64), np.array(owner, dtype=np.int64)


def _candidates(plan: GroundPlan, number: int, old: Spot | None) -> tuple[Whole, Whole]:
    """Places in line with the ends of its nets or with its rails, and a coarse grid between."""
    unit = plan.units[number]
    wires = unit.variants[0].wires
    ends = [end for net in dict.fromkeys(lead.net for lead in wires) for end in plan.trees.get(net, ())]
    good = np.zeros((plan.height, plan.width), dtype=bool)
    if ends:
        x0 = min(min(e.x0, e.x1) for e in ends) - REACH
        x1 = max(max(e.x0, e.x1) for e in ends) + REACH
        y0 = min(min(e.y0, e.y1) for e in ends) - REACH
        y1 = max(max(e.y0, e.y1) for e in ends) + REACH
    else:
        spots = list(plan.spots.values())
        x0, x1 = min(s.x for s in spots) - REACH, max(s.x for s in spots) + REACH
        y0, y1 = min(s.y for s in spots) - REACH, max(s.y for s in spots) + REACH
    edge = plan.edge
    x0, x1 = max(x0, edge), min(x1, plan.width - 1 - edge)
    y0, y1 = max(y0, edge), min(y1, plan.height - 1 - edge)
    window = (slice(y0, y1 + 1), slice(x0, x1 + 1))
    stride = 2 if (x1 - x0) * (y1 - y0) < 2500 else 3
    good[y0 : y1 + 1 : stride, x0 : x1 + 1 : stride] = True
    lines = np.zeros_like(good)
    for variant in unit.variants:
        for lead in variant.wires:
            for end in plan.trees.get(lead.net, ()):
                for ex, ey in ((end.x0, end.y0), (end.x1, end.y1)):
                    lines[:, min(max(ex - lead.x, 0), plan.width - 1)] = True
                    lines[min(max(ey - lead.y, 0), plan.height - 1), :] = True
        for flag in variant.flags:
            for there in plan.drops.get(flag.net, {}).values():
                for _, level in there:
                    lines[min(max(level - flag.level, 0), plan.height - 1), :] = True
    good[window] |= lines[window]
    if old is not None:
        good[old.y, old.x] = True
    y, x = np.nonzero(good)
    return x, y
