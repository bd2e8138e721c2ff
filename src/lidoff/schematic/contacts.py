"""Contacts drawn as they stand: closed, open, or over to another pin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from lidoff.circuit.contacts import touched
from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit
from lidoff.schematic.drawing import Drawing, Repeat, Symbol

__all__ = ["contacts_apart", "with_contacts"]


def with_contacts(drawing: Drawing, touches: Mapping[str, str]) -> Drawing:
    """Drawing with its contacts as they stand.

    Parameters
    ----------
    drawing : Drawing
    touches : mapping of str to str
        By reference, the pin that a moving contact touches, empty for none. Contacts that are not told stand as their
        parts' own values say, and so does one that is drawn for several which stand differently.

    Returns
    -------
    Drawing
        Nothing else in it changes.
    """
    told = {name: pin for name, pin in touches.items() if name not in _differing(drawing.repeats, touches)}
    sheets = tuple(
        replace(sheet, symbols=tuple(_standing(drawing.circuit, symbol, told) for symbol in sheet.symbols))
        for sheet in drawing.sheets
    )
    return replace(drawing, sheets=sheets)


def contacts_apart(circuit: Circuit, repeats: Sequence[Repeat], touches: Mapping[str, str]) -> str:
    """Sentence on contacts that stand otherwise than the one that is drawn for them.

    Parameters
    ----------
    circuit : Circuit
    repeats : sequence of Repeat
        What is drawn once for several.
    touches : mapping of str to str
        As for `with_contacts`.

    Returns
    -------
    str
        Without a full stop; empty where every contact stands as drawn.
    """
    differing = _differing(repeats, touches)
    told = [
        f"{part.reference} is {_word(len(part.pins), touches[part.reference])}"
        for part in circuit.parts
        if part.reference in differing and touches[part.reference] != touched(part)
    ]
    if not told:
        return ""
    listed = told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
    return f"Contacts drawn once for several are drawn at rest: here {listed}"


def _standing(circuit: Circuit, symbol: Symbol, touches: Mapping[str, str]) -> Symbol:
    part = circuit.part(symbol.reference)
    outline = kind_of(part).outline
    if not outline.moved or outline.name != symbol.outline.name:
        return symbol
    pin = touches[part.reference] if part.reference in touches else touched(part)
    strokes = outline.moved.get(pin, outline.strokes)
    return replace(symbol, outline=replace(symbol.outline, strokes=strokes))


def _differing(repeats: Sequence[Repeat], touches: Mapping[str, str]) -> frozenset[str]:
    """Parts that are drawn once for several which stand differently."""
    return frozenset(
        name
        for repeat in repeats
        for alike in zip(*repeat.instances, strict=True)
        if len({touches.get(name, "") for name in alike}) > 1
        for name in alike
    )


def _word(pins: int, pin: str) -> str:
    if pins > 2:
        return f"at {pin}" if pin else "at none"
    return "closed" if pin else "open"
