"""What an earlier drawing of nearly the same circuit tells: where things stood, so that they stay there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from lidoff.circuit.netlist import Circuit
from lidoff.schematic.drawing import Drawing, Symbol
from lidoff.schematic.ground_plan import Spot
from lidoff.schematic.shapes import box_sides
from lidoff.schematic.unit import Unit

__all__ = ["Earlier", "earlier_places", "known_spots"]


@dataclass(frozen=True, slots=True)
class Earlier:
    """Symbols of an earlier sheet by reference."""

    symbols: Mapping[str, Symbol]

    def sides(self, circuit: Circuit) -> dict[str, dict[str, Sequence[str]]]:
        """Pins of each box's sides in their earlier order, new pins last."""
        found: dict[str, dict[str, Sequence[str]]] = {}
        for part in circuit.parts:
            symbol = self.symbols.get(part.reference)
            if symbol is None or symbol.outline.name != "box":
                continue
            places = symbol.outline.pins
            left, top, right, bottom = symbol.outline.extent
            sides: dict[str, list[str]] = {"left": [], "right": [], "top": [], "bottom": []}
            for pin in sorted(
                (p for p in places if p in part.pins), key=lambda p: (places[p][1], places[p][0])
            ):
                x, y = places[pin]
                side = "left" if x < left else "right" if x > right else "top" if y < top else "bottom"
                sides[side].append(pin)
                assert side != "bottom" or y > bottom
            for side, pins in box_sides(part).items():
                sides[side].extend(pin for pin in pins if pin not in places)
            found[part.reference] = {side: tuple(pins) for side, pins in sides.items()}
        return found


def earlier_places(drawing: Drawing | None, references: Iterable[str]) -> Earlier | None:
    """Earlier sheet that shares most parts with the given ones.

    Parameters
    ----------
    drawing : Drawing or None
        An earlier drawing.
    references : iterable of str
        Parts of the sheet to be laid out.

    Returns
    -------
    Earlier or None
        None without an earlier drawing.
    """
    if drawing is None:
        return None
    wanted = set(references)
    sheets = [{s.reference: s for s in sheet.symbols} for sheet in drawing.sheets]
    return Earlier(max(sheets, key=lambda sheet: len(wanted & set(sheet))))


def known_spots(units: Sequence[Unit], earlier: Earlier) -> dict[int, Spot]:
    """Spots of the units that stood just so before.

    Parameters
    ----------
    units : sequence of Unit
        To be placed.
    earlier : Earlier
        Where symbols stood.

    Returns
    -------
    dict of int to Spot
        In the earlier drawing's coordinates.
    """
    spots: dict[int, Spot] = {}
    for number, unit in enumerate(units):
        symbols = [earlier.symbols.get(reference) for reference in unit.references]
        if any(symbol is None for symbol in symbols):
            continue
        for choice, variant in enumerate(unit.variants):
            places = {
                (symbol.x - ox, symbol.y - oy)
                for symbol, (shape, ox, oy) in zip(symbols, variant.shapes, strict=True)
                if symbol is not None and symbol.shape.turn == shape.turn and symbol.shape.body == shape.body
            }
            alike = sum(
                symbol is not None and symbol.shape.turn == shape.turn and symbol.shape.body == shape.body
                for symbol, (shape, _, _) in zip(symbols, variant.shapes, strict=True)
            )
            if len(places) == 1 and alike == len(symbols):
                (x, y) = places.pop()
                spots[number] = Spot(choice, x, y)
                break
    return spots
