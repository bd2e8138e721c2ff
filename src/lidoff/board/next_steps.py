"""What to do next on a traced board, in words: beeps against it, coarse photos, what to paint, probes that settle doubts."""

from __future__ import annotations

from lidoff.board.beeps import contradictions, least_changes
from lidoff.board.classes import COPPER, LAMINATE
from lidoff.board.coarse_photos import coarse_photos
from lidoff.board.layout import Place
from lidoff.board.probes import probe_plan
from lidoff.board.traced import Board, TracedSide, links_of_board

__all__ = ["next_steps"]


def next_steps(board: Board, *, probes: int = 4) -> tuple[str, ...]:
    """Lines on what the beeper said against the trace, on photos to take again, on what to paint and what to probe next.

    Parameters
    ----------
    board : Board
        Traced board with its beeps.
    probes : int
        Most probes that are named; the others are counted.

    Returns
    -------
    tuple of str
        Empty where nothing is doubtful and nothing contradicts.
    """
    links = links_of_board(board)
    lines = []
    against = contradictions(links, board.beeps)
    for one in against:
        where = f"look at {_place(one.at, one.side)}" if one.chain else "no copper is seen between them"
        said = "beep" if one.beep.joined else "do not beep"
        lines.append(f"against the trace, {one.beep.first} and {one.beep.second} {said}: {where}")
    if against:
        explained = least_changes(links, board.beeps)
        lines += [
            f"least change: {'join' if one.made else 'part'} {one.link.first} and {one.link.second} "
            f"at {_place(one.link.at, one.link.side)}"
            for one in explained.changes
        ]
        lines += [
            f"nothing doubtful explains {beep.first} and {beep.second}: look for a wire, a break or a misread pin"
            for beep in explained.unexplained
        ]
    lines += coarse_photos(board) if board.copper_found is None else board.copper_found.coarse
    lines += [line for side in board.sides if (line := _shown_alone(side))]
    places = {pad.pin: pad.at for part in board.parts for pad in part.pads if pad.pin}
    probed = {frozenset((beep.first, beep.second)) for beep in board.beeps}
    plan = [
        probe
        for probe in probe_plan(links, places).probes
        if frozenset((probe.first, probe.second)) not in probed
    ]
    if plan:
        named = ", ".join(
            f"{probe.first} to {probe.second} ({'beep' if probe.expected else 'no beep'} expected)"
            for probe in plan[:probes]
        )
        more = f", and {len(plan) - probes} more" if len(plan) > probes else ""
        lines.append(f"probe next, unplugged and discharged: {named}{more}")
    return tuple(lines)


def _shown_alone(side: TracedSide) -> str:
    """Line on what strokes have not shown yet, where they show only one of copper and laminate."""
    said = {stroke.says for stroke in side.strokes}
    if said & COPPER and LAMINATE not in said:
        return f"strokes on the {side.side} show copper alone: paint once over bare laminate as well"
    if LAMINATE in said and not said & COPPER:
        return (
            f"strokes on the {side.side} show laminate alone: paint once along the middle of a track as well"
        )
    return ""


def _place(at: Place, side: str) -> str:
    return f"{at[0]:.1f} mm, {at[1]:.1f} mm{f', {side}' if side else ''}"
