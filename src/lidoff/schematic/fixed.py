"""Units that stand before the search begins: placed by a person, or kept from an earlier drawing."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.schematic.ground_plan import GroundPlan, Spot
from lidoff.schematic.page_cost import Frame, Sizes

__all__ = ["is_clear", "origin_for", "span_of"]


def _frames(spots: Mapping[int, Spot], sizes: Sizes) -> list[Frame]:
    frames = [(spot, sizes.frames[n][spot.variant]) for n, spot in spots.items()]
    return [(s.x + f[0], s.y + f[1], s.x + f[2], s.y + f[3]) for s, f in frames]


def is_clear(number: int, spot: Spot, fixed: Mapping[int, Spot], sizes: Sizes) -> bool:
    """Whether a unit may stay where it stood, or stands in the way of a part that a person has placed."""
    (x0, y0, x1, y1), *_ = _frames({number: spot}, sizes)
    return all(x1 < f[0] or f[2] < x0 or y1 < f[1] or f[3] < y0 for f in _frames(fixed, sizes))


def span_of(spots: Mapping[int, Spot], sizes: Sizes) -> tuple[int, int]:
    """Width and height of what stands."""
    frames = _frames(spots, sizes)
    if not frames:
        return 0, 0
    return (
        max(f[2] for f in frames) - min(f[0] for f in frames),
        max(f[3] for f in frames) - min(f[1] for f in frames),
    )


def origin_for(plan: GroundPlan, spots: Mapping[int, Spot], sizes: Sizes) -> tuple[int, int]:
    """Where on the plan the drawing's origin lies, for what stands to lie in the middle."""
    frames = _frames(spots, sizes)
    if not frames:
        return 0, 0
    x0, x1 = min(f[0] for f in frames), max(f[2] for f in frames)
    y0, y1 = min(f[1] for f in frames), max(f[3] for f in frames)
    return plan.width // 2 - (x0 + x1) // 2, plan.height // 2 - (y0 + y1) // 2
