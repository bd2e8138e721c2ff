"""``python -m benchmarks.exact_placement``: the search for a drawing's places held against an exact search.

Branch and bound over every place and every orientation tells the least cost of a page of a few units; the search that
drawings use is held against it, in cost and in time. Larger pages are out of its reach: there the best of many long searches
stands in for the least cost. Takes some minutes, so it is no part of the timed benchmarks.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

from lidoff.circuit import Circuit
from lidoff.schematic.ground_plan import GroundPlan, Spot
from lidoff.schematic.levels import Levels, find_levels
from lidoff.schematic.page_cost import Sizes, extent_of, page_total, sizes_of
from lidoff.schematic.place import place_units
from lidoff.schematic.unit import Unit
from lidoff.schematic.units import build_units
from tests.schematic.gallery import GALLERY

FEW = 3
"""Units that an exact search can place in minutes."""
MARGIN = 12
"""How far beyond what already stands a unit is tried, in grid steps."""
MANY = 12
"""Long searches whose best stands in for the least cost of a larger page."""
LONG = 4.0
"""Their effort."""


def units_of(circuit: Circuit) -> tuple[Levels, list[Unit]]:
    """Levels and units as a plain drawing has them."""
    levels = find_levels(circuit)
    flagged = {net: role for net, role in levels.role.items() if role != "signal"}
    text = {part.reference: [part.reference, ""] for part in circuit.parts}
    return levels, build_units(circuit, levels, flagged, text, pinned={}, zigzag=False)


def least_cost(circuit: Circuit, levels: Levels, units: Sequence[Unit], known: float) -> tuple[float, int]:
    """Least cost of a page, and how many pages were looked at, given the cost of a page that is known.

    A page only gets dearer by what is added to it, so a part of a page that costs more than a known one is not followed.
    """
    plan = place_units(circuit, levels, units, effort=0.0)
    order = sorted(plan.spots, key=lambda n: -len(units[n].variants[0].wires))
    for number in order:
        plan.lift(number)
    return _grow(plan, order, sizes_of(units), known)


def _grow(plan: GroundPlan, order: Sequence[int], sizes: Sizes, best: float) -> tuple[float, int]:
    number, rest = order[0], order[1:]
    looked = 0
    partial: list[tuple[float, Spot]] = []
    if plan.spots:
        x0, y0, x1, y1 = extent_of(plan, sizes)
        edge = plan.edge
        columns = range(max(x0 - MARGIN, edge), min(x1 + MARGIN, plan.width - 1 - edge) + 1)
        rows = range(max(y0 - MARGIN, edge), min(y1 + MARGIN, plan.height - 1 - edge) + 1)
    else:
        columns, rows = (
            range(plan.width // 2, plan.width // 2 + 1),
            range(plan.height // 2, plan.height // 2 + 1),
        )
    for variant in range(len(plan.units[number].variants)):
        for x in columns:
            for y in rows:
                spot = Spot(variant, x, y)
                plan.put(number, spot)
                cost = page_total(plan, sizes)
                plan.lift(number)
                looked += 1
                if cost < best:
                    partial.append((cost, spot))
    partial.sort(key=lambda one: one[0])
    if not rest:
        return (partial[0][0] if partial else best), looked
    for cost, spot in partial:
        if cost >= best:
            break
        plan.put(number, spot)
        best, seen = _grow(plan, rest, sizes, best)
        plan.lift(number)
        looked += seen
    return best, looked


def _searched(circuit: Circuit, levels: Levels, units: Sequence[Unit], seeds: int, effort: float) -> float:
    sizes = sizes_of(units)
    return min(
        page_total(place_units(circuit, levels, units, effort=effort, seed=seed), sizes)
        for seed in range(seeds)
    )


def main() -> int:
    """Print one line a circuit; exits with 1 where the exact search finds a page that costs a hundredth less."""
    worse = 0
    print("circuit, units: cost searched | cost exact or best of many | dearer by | times longer")
    for name, circuit in GALLERY.items():
        levels, units = units_of(circuit)
        start = time.process_time()
        usual = _searched(circuit, levels, units, 3, 1.0)
        middle = time.process_time()
        if len(units) <= FEW:
            least, looked = least_cost(circuit, levels, units, usual)
            how = f"exact over {looked} pages"
            worse += usual > 1.01 * least
        else:
            least = min(usual, _searched(circuit, levels, units, MANY, LONG))
            how = "best of many"
        longer = (time.process_time() - middle) / (middle - start)
        print(
            f"{name}, {len(units)}: {usual:.1f} | {least:.1f} {how} | {usual / least - 1.0:.1%} | {longer:.0f}",
            flush=True,
        )
    return int(worse > 0)


if __name__ == "__main__":
    sys.exit(main())
