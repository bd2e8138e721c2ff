"""What an analyst chose about the schematic, and the options of a drawing that follow from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from lidoff.dossier.entries import Dossier
    from lidoff.schematic import DrawingOptions, Pinned

__all__ = ["FARTHEST_PIN", "DrawingChoices", "drawing_choices", "drawing_document", "drawing_options"]

FARTHEST_PIN = 300
"""Grid steps from the middle within which a part may be placed by hand; the schematic's own limit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingChoices:
    """What was chosen about the schematic.

    Attributes
    ----------
    every_part : bool
        Whether repeats are drawn out in place of once with their number.
    keep_apart : tuple of str
        Parts that are always drawn themselves, whatever repeats.
    similar_values : bool
        Whether groups that differ in values alone are drawn once too.
    resistors : {"", "box", "zigzag"}
        Shape of resistors; empty for the box.
    effort : int
        How many times longer than usual a good placement is searched for.
    pinned : mapping of str to Pinned
        Places that were chosen by hand, by reference.
    """

    every_part: bool = False
    keep_apart: tuple[str, ...] = ()
    similar_values: bool = False
    resistors: str = ""
    effort: int = 1
    pinned: Mapping[str, Pinned] = field(default_factory=dict)


def drawing_choices(table: Mapping[str, Any]) -> DrawingChoices:
    """Choices of the plain table of a dossier's file, whose shape was looked at before.

    Parameters
    ----------
    table : mapping
        What stands under ``drawing``.

    Returns
    -------
    DrawingChoices
    """
    rest = {key: value for key, value in table.items() if key not in ("pinned", "keep_apart")}
    return DrawingChoices(
        **rest, keep_apart=tuple(table.get("keep_apart", ())), pinned=_pinned(table.get("pinned", {}))
    )


def _pinned(table: Mapping[str, Any]) -> dict[str, Pinned]:
    if not table:
        return {}
    from lidoff.schematic import Pinned  # no command that draws nothing waits for it

    return {name: Pinned(**place) for name, place in table.items()}


def drawing_document(choices: DrawingChoices) -> dict[str, Any]:
    """Plain table of choices, as it stands in a dossier's file; what is as usual is left out.

    Parameters
    ----------
    choices : DrawingChoices
        To be written.

    Returns
    -------
    dict
    """
    pinned = {}
    for reference, place in choices.pinned.items():
        pinned[reference] = {"x": place.x, "y": place.y}
        pinned[reference] |= {"quarter_turns": place.quarter_turns} if place.quarter_turns else {}
        pinned[reference] |= {"mirrored": True} if place.mirrored else {}
    told = {
        "every_part": choices.every_part,
        "keep_apart": list(choices.keep_apart),
        "similar_values": choices.similar_values,
        "resistors": choices.resistors,
        "effort": choices.effort if choices.effort != 1 else 0,
        "pinned": pinned,
    }
    return {key: value for key, value in told.items() if value}


def drawing_options(dossier: Dossier, **changes: Any) -> DrawingOptions:
    """Options of a dossier's drawing.

    Parameters
    ----------
    dossier : Dossier
        Whose choices count.
    **changes
        Fields of `DrawingOptions` that are given otherwise; None leaves the dossier's choice.

    Returns
    -------
    DrawingOptions
    """
    from lidoff.schematic import DrawingOptions

    choices = dossier.drawing
    options = DrawingOptions(
        abbreviate=not choices.every_part,
        keep_apart=choices.keep_apart,
        similar_values=choices.similar_values,
        zigzag_resistors=choices.resistors == "zigzag",
        effort=float(choices.effort),
        pinned=choices.pinned,
    )
    return replace(options, **{name: value for name, value in changes.items() if value is not None})
