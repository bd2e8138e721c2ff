"""The schematic with each part tinted by what its own failure does."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from lidoff.dossier import Analysis
from lidoff.hazards import Tint
from lidoff.report.inline import schematic_picture
from lidoff.report.model import Figure, Picture
from lidoff.report.sections.schematic import drawing_of
from lidoff.report.words import joined
from lidoff.schematic import Area, Drawing, Sheet

__all__ = ["fault_figures", "tinted"]

LEVELS: Mapping[str, tuple[str, str, str]] = {
    "live": ("#a8412f", "brick", "a net within reach becomes live"),
    "cell": ("#1f8a8a", "teal", "the cell gives or takes more than its rating"),
    "hot": ("#c8841a", "amber", "another part runs over its rating"),
}
"""Level of a tint → colour, its name, and what it says; gravest first."""
OPACITY = 0.38
MARGIN = 0.5  # grid steps round a symbol


def fault_figures(analysis: Analysis) -> tuple[Figure, ...]:
    """Schematic tinted by faults, a figure a sheet.

    Parameters
    ----------
    analysis : Analysis
        With its tints.

    Returns
    -------
    tuple of Figure
        Empty where no fault does harm to another part.
    """
    found = {name: tint for name, tint in analysis.fault_tints.items() if tint.level in LEVELS}
    if not found:
        return ()
    drawing = tinted(drawing_of(analysis), found)
    used = [level for level in LEVELS if any(tint.level == level for tint in found.values())]
    legend = "; ".join(f"{LEVELS[level][1]}, where {LEVELS[level][2]}" for level in used)
    told = "; ".join(tint.caption for tint in found.values())
    figures = []
    for number, sheet in enumerate(drawing.sheets):
        if not any(area.tint for area in sheet.areas):
            continue
        name = "faults" if len(drawing.sheets) == 1 else f"faults-{number + 1}"
        figures.append(
            Figure(
                name=name,
                caption=f"What happens when a part fails, by the worst that its own failure does: {legend}. A part "
                "without a tint drives no other over a rating.",
                alt=f"Schematic with {joined(list(found))} tinted: {told}.",
                picture=_strong(schematic_picture(drawing, name, sheet=number)),
            )
        )
    return tuple(figures)


def tinted(drawing: Drawing, tints: Mapping[str, Tint]) -> Drawing:
    """Drawing with a ground behind each tinted part.

    Parameters
    ----------
    drawing : Drawing
    tints : mapping of str to Tint
        By reference; a part that is drawn once for several takes the gravest of them.

    Returns
    -------
    Drawing
        Its other areas stay as they are.
    """
    stands_for = {
        drawn: [instance[place] for instance in repeat.instances]
        for repeat in drawing.repeats
        for place, drawn in enumerate(repeat.drawn)
    }
    order = list(LEVELS)

    def level(reference: str) -> str:
        all_of = [reference, *stands_for.get(reference, ())]
        levels = [tints[name].level for name in all_of if name in tints and tints[name].level in LEVELS]
        return min(levels, key=order.index, default="")

    def with_grounds(sheet: Sheet) -> Sheet:
        grounds = []
        for symbol in sheet.symbols:
            worst = level(symbol.reference)
            if worst:
                x0, y0, x1, y1 = symbol.body
                box = (x0 - MARGIN, y0 - MARGIN, x1 + MARGIN, y1 + MARGIN)
                ring = (
                    (box[0], box[1]),
                    (box[2], box[1]),
                    (box[2], box[3]),
                    (box[0], box[3]),
                    (box[0], box[1]),
                )
                grounds.append(
                    Area(
                        caption="",
                        tint=LEVELS[worst][0],
                        box=box,
                        parts=(symbol.reference,),
                        rings=(ring,),
                    )
                )
        return replace(sheet, areas=(*sheet.areas, *grounds))

    return replace(drawing, sheets=tuple(with_grounds(sheet) for sheet in drawing.sheets))


def _strong(picture: Picture) -> Picture:
    """Picture whose tints are strong enough to tell apart, as they stand for a danger and not for a block."""

    def stronger(svg: str) -> str:
        return re.sub(r'(class="area[^>]*style="fill:[^";]*)"', rf'\1;fill-opacity:{OPACITY}"', svg)

    return replace(picture, wide=stronger(picture.wide), paper=stronger(picture.paper))
