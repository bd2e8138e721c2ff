"""What a demo's board truly looks like: parts, places, nets and how it is photographed. Invented, like the device."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from lidoff.board import (
    BACK,
    FRONT,
    Layout,
    Legend,
    PartToPlace,
    Routed,
    TrackRules,
    View,
    layout_from_parts,
    rectangle,
)

__all__ = ["BoardTruth", "one_sided", "routed_layout"]

Placed = tuple[str, str, str, tuple[float, float], float, Mapping[str, str], str]
"""Reference, package, side, centre [mm], turn [degrees], net of each land, print on the body."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardTruth:
    """One demo's board.

    Attributes
    ----------
    dossier, board : str
        Folder of the demo, and name of the board in it.
    layout : Layout
        Copper, holes, print, bodies.
    views : mapping of str to View
        How each side is photographed.
    seed : int
        From which grain, noise and the scatter of clicks follow.
    blank : tuple of str
        Sides without copper.
    marked : tuple of places
        Places on the board whose distances were taken with a calliper and that are marked on both photos [mm]; empty where
        the outline registers the photos.
    slip : tuple of (str, str, place, place, float)
        Strokes by which the analyst misread the copper: side, what it says, its ends and its width [mm].
    read_as : mapping of str to str
        Net of a pin as misread, where that differs from the truth.
    """

    dossier: str
    board: str
    layout: Layout
    views: Mapping[str, View]
    seed: int
    blank: tuple[str, ...] = ()
    marked: tuple[tuple[float, float], ...] = ()
    slip: tuple[tuple[str, str, tuple[float, float], tuple[float, float], float], ...] = ()
    read_as: Mapping[str, str] = field(default_factory=dict)


def routed_layout(
    parts: Sequence[Placed],
    size: tuple[float, float],
    rules: TrackRules,
    *,
    pour: tuple[str, str] | None = None,
    holes: tuple[tuple[float, float], ...] = (),
    title: tuple[str, tuple[float, float]],
) -> Layout:
    """Layout of a rectangular board with a printed title at a place; raises where the router finds no way."""
    listed = [
        PartToPlace(reference=name, package=kind, side=side, at=at, turn=turn, nets=nets, marking=marking)
        for name, kind, side, at, turn, nets, marking in parts
    ]
    routed: Routed = layout_from_parts(
        listed, size=size, rules=rules, pour=pour, outline=rectangle(*size), mounting_holes=holes
    )
    if routed.missed:
        raise ValueError(f"no way for {', '.join(routed.missed)}")
    printed = Legend(side=FRONT, text=title[0], at=title[1], height=1.1)
    return replace(routed.layout, legends=(*routed.layout.legends, printed))


def one_sided(layout: Layout) -> Layout:
    """The same board with copper on the back alone: no lands on the front, no plated hole."""
    leads = [pad.at for pad in layout.pads if pad.side == FRONT and pad.pin]
    return replace(
        layout,
        pads=tuple(pad for pad in layout.pads if pad.side == BACK),
        holes=tuple(replace(hole, plated=False, filled=hole.at in leads) for hole in layout.holes),
    )
