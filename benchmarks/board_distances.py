"""Whether the uncertainty told with a distance between two nets holds: found against true ones on invented boards.

Run: ``python -m benchmarks.board_distances [--only FINISH] [--save]``. Boards are traced without a stroke; only nets that came
out whole are measured, since a wrong join is another mistake than a wrong edge.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

import numpy as np

from benchmarks.board_accuracy import Case, as_seen, flat_of, invented_case, registered
from lidoff.board import (
    SIDES,
    Board,
    Nets,
    TrackRules,
    View,
    board_from_layout,
    board_nets,
    clearance,
    conductors_of,
    copper_of_prepared,
    edge_uncertainty_of,
    find_round_spots,
    pieces_of,
    prepare_side,
    traced_side,
)

KEPT = Path(__file__).with_name("board_distances.json")
LONGEST_MM = 5.0
SEEDS = range(31, 36)
FINISHES = {
    "green": (View(finish="green", px_per_mm=20, light=0.1, tilt=3), TrackRules(), True),
    "blue": (View(finish="blue", px_per_mm=20, light=0.2, tilt=8, table="paper"), TrackRules(), True),
    "black": (View(finish="black", px_per_mm=20, light=0.2, tilt=8, table="cloth"), TrackRules(), True),
    "bare phenolic": (
        View(finish="bare", px_per_mm=20, light=0.2, tilt=8, table="paper"),
        TrackRules(width=0.6, gap=0.4),
        False,
    ),
}


@dataclass(frozen=True)
class Pair:
    """Clearance of two nets on one side: true, found and told standard uncertainty [mm]."""

    true: float
    found: float
    uncertainty: float


def traced(case: Case) -> Board:
    """Board as traced from its photos, parts clicked, without a stroke."""
    registrations, *_ = registered(case)
    case, parts = as_seen(case, registrations)
    sides = []
    for side in SIDES:
        flat = flat_of(case, side, registrations[side])
        prepared = prepare_side(
            flat,
            spots=find_round_spots(flat),
            parts=parts,
            holes=case.holes,
            px_per_mm=case.px_per_mm,
        )
        copper = copper_of_prepared(prepared)
        sides.append(traced_side(pieces_of(copper), registration=registrations[side]))
    width, height = case.size
    outline = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return Board(name=case.name, outline=outline, sides=tuple(sides), holes=tuple(case.holes), parts=parts)


def pairs_of(case: Case) -> Iterator[Pair]:
    """Clearances of all nets that came out whole, on either side."""
    assert case.layout is not None
    found_board, true_board = traced(case), board_from_layout(case.layout, case.name, px_per_mm=60.0)
    found, true = board_nets(found_board), board_nets(true_board)
    whole = {frozenset(net.pins): net.name for net in found.nets if net.pins}
    known = [(net.name, whole[frozenset(net.pins)]) for net in true.nets if frozenset(net.pins) in whole]
    scale = max(
        side.registration.scale_uncertainty for side in found_board.sides if side.registration is not None
    )
    for (true_a, found_a), (true_b, found_b) in combinations(known, 2):
        for side in SIDES:
            truth = _apart(true_board, true, true_a, true_b, side, scale)
            seen = _apart(found_board, found, found_a, found_b, side, scale)
            if truth is not None and seen is not None and truth.true <= LONGEST_MM:
                yield Pair(true=truth.true, found=seen.true, uncertainty=seen.uncertainty)


def _apart(board: Board, nets: Nets, first: str, second: str, side: str, scale: float) -> Pair | None:
    groups = [conductors_of(board, [name], side, found=nets) for name in (first, second)]
    if not all(groups):
        return None
    told = clearance(
        groups[0], groups[1], scale_uncertainty=scale, edge_uncertainty=edge_uncertainty_of(board, side)
    )
    return Pair(true=told.length, found=told.length, uncertainty=told.uncertainty)


def figures(finish: str) -> dict[str, object]:
    """Errors over all boards of a finish, and how often the truth lies within twice the told uncertainty."""
    view, rules, pour = FINISHES[finish]
    pairs = [
        pair for seed in SEEDS for pair in pairs_of(invented_case(finish, view, rules, seed, pour, parts=6))
    ]
    errors = np.array([pair.found - pair.true for pair in pairs])
    told = np.array([pair.uncertainty for pair in pairs])
    return {
        "boards": f"{len(SEEDS)} {finish}",
        "distances": len(pairs),
        "mean error, mm": round(float(errors.mean()), 3),
        "scatter, mm": round(float(errors.std()), 3),
        "told standard uncertainty, median mm": round(float(np.median(told)), 3),
        "within twice the told": round(float(np.mean(np.abs(errors) <= 2.0 * told)), 3),
    }


def main() -> None:
    """Measure and print; keep the figures if asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--save", action="store_true", help="keep the figures, from which the page is written"
    )
    parser.add_argument("--only", choices=FINISHES, help="boards of one finish")
    asked = parser.parse_args()
    for finish in (asked.only,) if asked.only else FINISHES:
        row = figures(finish)
        print(json.dumps(row, ensure_ascii=False), flush=True)
        if asked.save:
            keep(row)


def keep(row: dict[str, object]) -> None:
    """Put a row in place of the older one of the same boards."""
    old = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else []
    by_name = {one["boards"]: one for one in [*old, row]}
    lines = ",\n ".join(json.dumps(one, ensure_ascii=False) for one in by_name.values())
    KEPT.write_text(f"[\n {lines}\n]\n", encoding="utf-8")


if __name__ == "__main__":
    main()
