"""Whether a sheet of an earlier drawing can stand as it is, so that only its texts are placed anew.

A value, a voltage or a name of a person's own changes nothing of where symbols and wires lie; a part, a pin or a choice does.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from lidoff.circuit.netlist import Circuit, Part
from lidoff.schematic.drawing import Drawing, Repeat, Sheet
from lidoff.schematic.options import DrawingOptions
from lidoff.schematic.text import lines_beside

__all__ = ["kept_sheet"]

GROWS = 2
"""Letters by which a line beside a part may grow before the parts make room for it; our choice."""


def kept_sheet(
    before: Drawing | None,
    circuit: Circuit,
    *,
    repeats: Sequence[Repeat],
    options: DrawingOptions,
    flagged: Mapping[str, str],
) -> Sheet | None:
    """Sheet of an earlier drawing that shows just these parts, joined and chosen in just this way.

    Parameters
    ----------
    before : Drawing or None
        The earlier drawing.
    circuit : Circuit
        Parts of the sheet to be laid out.
    repeats : sequence of Repeat
        What is drawn once for several.
    options : DrawingOptions
        What a person chose.
    flagged : mapping of str to str
        Role of each net that ends in marks.

    Returns
    -------
    Sheet or None
        None where something differs that may move a symbol or a wire.
    """
    if before is None or before.repeats != tuple(repeats) or _layout(before.options) != _layout(options):
        return None
    references = {part.reference for part in circuit.parts}
    sheet = next((one for one in before.sheets if {s.reference for s in one.symbols} == references), None)
    if sheet is None or len(sheet.symbols) != len(references):
        return None
    earlier = {part.reference: part for part in before.shown.parts}
    if any(_structure(earlier[part.reference]) != _structure(part) for part in circuit.parts):
        return None
    if any(_longest(part) > _longest(earlier[part.reference]) + GROWS for part in circuit.parts):
        return None
    if any(flagged.get(mark.net) != mark.role for mark in sheet.marks):
        return None
    return sheet


def _layout(options: DrawingOptions) -> DrawingOptions:
    """Options without those that change texts and colours alone."""
    plain = DrawingOptions()
    return replace(
        options,
        voltages=plain.voltages,
        currents=plain.currents,
        highlight_nets=plain.highlight_nets,
        highlight_parts=plain.highlight_parts,
        voltage_ramp=plain.voltage_ramp,
        effort=plain.effort,
        title=plain.title,
    )


def _longest(part: Part) -> int:
    """Letters of the longest line beside a part."""
    return max(map(len, lines_beside(part)), default=0)


def _structure(part: Part) -> tuple[object, ...]:
    return (part.kind, dict(part.pins), dict(part.pin_names), dict(part.pin_roles))
