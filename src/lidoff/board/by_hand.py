"""What an analyst decides by hand about a board, as one value: marks on photos, strokes, parts, holes, wires, beeps, names.

It is read from plain data (a TOML file beside the board) and laid over what was traced before; what it names wins, what it
does not name stays.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Any, TypeVar

from lidoff.board.beeps import Beep
from lidoff.board.classes import Stroke
from lidoff.board.drilled import check_diameter, is_same_hole
from lidoff.board.frame import BACK, FRONT, SIDES
from lidoff.board.layout import Hole, Place
from lidoff.board.nets import Wire
from lidoff.board.package import PlacedPart, place_part, row_of_pads
from lidoff.board.plain_data import PlainReader
from lidoff.board.traced import Board, TracedSide
from lidoff.errors import DossierError, LidoffError

__all__ = ["ByHand", "Ruler", "SideMarks", "by_hand_from_dict", "with_hand"]

Made = TypeVar("Made")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruler:
    """Equally spaced places in a row on a photo: two ends of a known length, or the pins of a known pitch.

    Attributes
    ----------
    points_px : tuple of place
        Two or more places in their order [photo pixels].
    step : float
        Distance of neighbours [mm].
    uncertainty : float
        Standard uncertainty of that distance [mm].
    """

    points_px: tuple[Place, ...]
    step: float
    uncertainty: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SideMarks:
    """Marks on the photo of one side.

    Attributes
    ----------
    points : tuple of pairs of places
        Each on the photo [pixels] and on the board [mm]; four or more register the photo.
    ruler : Ruler or None
        A known length on the photo.
    turn : int or None
        Quarter turns of the photo against the board frame; None lets proportions and holes tell.
    blank : bool or None
        Whether the side carries no copper; None leaves that as it is.
    """

    points: tuple[tuple[Place, Place], ...] = ()
    ruler: Ruler | None = None
    turn: int | None = None
    blank: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ByHand:
    """All that was decided by hand about one board.

    Attributes
    ----------
    marks : mapping of str to SideMarks
        By side.
    outline : tuple of place
        Corners of the board [mm]; empty leaves them to the photo.
    cutouts : tuple of tuple of place
        Openings, each by its corners [mm].
    strokes : tuple of (str, Stroke)
        Side and stroke, in order.
    parts : tuple of PlacedPart
        Each takes the place of a part of the same reference.
    holes : tuple of Hole
        Stated, so that no doubt is left.
    pairs : tuple of pairs of places
        Places (front, back) that coincide [mm], as registered before.
    wires : tuple of Wire
        Wires and stated joins.
    beeps : tuple of Beep
        What the continuity beeper said; each takes the place of one between the same ends.
    names : mapping of str to str
        Name of the net of a pin or a piece.
    """

    marks: Mapping[str, SideMarks] = field(default_factory=lambda: MappingProxyType({}))
    outline: tuple[Place, ...] = ()
    cutouts: tuple[tuple[Place, ...], ...] = ()
    strokes: tuple[tuple[str, Stroke], ...] = ()
    parts: tuple[PlacedPart, ...] = ()
    holes: tuple[Hole, ...] = ()
    pairs: tuple[tuple[Place, Place], ...] = ()
    wires: tuple[Wire, ...] = ()
    beeps: tuple[Beep, ...] = ()
    names: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


def with_hand(board: Board, by_hand: ByHand) -> Board:
    """Board with the decisions of a hand laid over it.

    Parameters
    ----------
    board : Board
        As known so far; its outline may still be empty.
    by_hand : ByHand
        What was decided.

    Returns
    -------
    Board
        The same decisions laid over it again change nothing.
    """
    sides = {side.side: side for side in board.sides}
    for name in SIDES:
        strokes = tuple(stroke for side, stroke in by_hand.strokes if side == name)
        marks = by_hand.marks.get(name)
        blank = marks.blank if marks is not None else None
        if not strokes and blank is None:
            continue
        old = sides.get(name, TracedSide(side=name))
        sides[name] = replace(
            old,
            strokes=(*old.strokes, *(stroke for stroke in strokes if stroke not in old.strokes)),
            blank=old.blank if blank is None else blank,
        )
    placed = {part.reference for part in by_hand.parts}
    beeped = {frozenset((beep.first, beep.second)) for beep in by_hand.beeps}
    return replace(
        board,
        outline=by_hand.outline or board.outline,
        cutouts=by_hand.cutouts or board.cutouts,
        sides=tuple(sides[name] for name in SIDES if name in sides),
        parts=(*(part for part in board.parts if part.reference not in placed), *by_hand.parts),
        holes=(
            *(
                hole
                for hole in board.holes
                if not any(is_same_hole(hole, stated) for stated in by_hand.holes)
            ),
            *by_hand.holes,
        ),
        wires=(*board.wires, *(wire for wire in by_hand.wires if wire not in board.wires)),
        beeps=(
            *(beep for beep in board.beeps if frozenset((beep.first, beep.second)) not in beeped),
            *by_hand.beeps,
        ),
        net_names=MappingProxyType({**board.net_names, **by_hand.names}),
    )


def by_hand_from_dict(data: object) -> ByHand:
    """Decisions from plain data.

    Parameters
    ----------
    data : object
        What TOML gave.

    Returns
    -------
    ByHand
        Lengths in millimetres, as the keys' endings say.

    Raises
    ------
    DossierError
        Lists every fault with its place; unknown keys are faults.
    """
    reader = PlainReader()
    known = (
        *SIDES,
        "outline_mm",
        "cutouts_mm",
        "strokes",
        "parts",
        "holes",
        "pairs",
        "wires",
        "beeps",
        "names",
    )
    table = reader.table(data, "", known)

    def rows(key: str) -> list[tuple[str, Any]]:
        return [(f"{key}, {n + 1}", item) for n, item in enumerate(reader.rows(table.get(key, []), key))]

    names = table.get("names", {})
    if not isinstance(names, dict) or not all(isinstance(value, str) for value in names.values()):
        reader.fault("names is no table of texts", "names", 'give "R1.1" = "vcc" and the like')
        names = {}
    outline = reader.ring(table.get("outline_mm", []), "outline_mm")
    if 0 < len(outline) < 3:
        reader.fault(f"the outline has {len(outline)} corners", "outline_mm", "give three or more")
    found = ByHand(
        marks=MappingProxyType({side: _marks(reader, table[side], side) for side in SIDES if side in table}),
        outline=outline,
        cutouts=tuple(reader.ring(item, where) for where, item in rows("cutouts_mm")),
        strokes=tuple(one for where, item in rows("strokes") if (one := _stroke(reader, item, where))),
        parts=tuple(part for where, item in rows("parts") if (part := _part(reader, item, where))),
        holes=tuple(_hole(reader, item, where) for where, item in rows("holes")),
        pairs=tuple(_pair(reader, item, where) for where, item in rows("pairs")),
        wires=tuple(
            Wire(first=first, second=second, kind=reader.text(row, "kind", where, "wire"))
            for where, item in rows("wires")
            for row, first, second in [_ends(reader, item, where, "kind")]
        ),
        beeps=tuple(
            Beep(
                first=first,
                second=second,
                joined=reader.flag(row, "joined", where, True),
                source=reader.text(row, "source", where, "continuity beep"),
            )
            for where, item in rows("beeps")
            for row, first, second in [_ends(reader, item, where, "joined", "source")]
        ),
        names=MappingProxyType(dict(names)),
    )
    references = [part.reference for part in found.parts]
    for reference in dict.fromkeys(references):
        if references.count(reference) > 1:
            reader.fault(
                f"{reference} is placed {references.count(reference)} times", "parts", "place each part once"
            )
    for number, hole in enumerate(found.holes):
        if any(is_same_hole(hole, other) for other in found.holes[:number]):
            reader.fault(
                "a hole at a place that has one already", f"holes, {number + 1}", "state each hole once"
            )
    if reader.faults:
        raise DossierError("what was decided by hand cannot be read", faults=reader.faults)
    return found


def _marks(reader: PlainReader, data: object, where: str) -> SideMarks:
    table = reader.table(data, where, ("points", "ruler", "turn", "blank"))
    points = []
    for n, item in enumerate(reader.rows(table.get("points", []), where)):
        place = f"{where}, points, {n + 1}"
        row = reader.table(item, place, ("photo_px", "board_mm"))
        points.append((reader.place(row.get("photo_px"), place), reader.place(row.get("board_mm"), place)))
    if 0 < len(points) < 4:
        reader.fault(f"{len(points)} points are too few", where, "mark four or more, spread over the board")
    ruler = None
    if "ruler" in table:
        place = f"{where}, ruler"
        row = reader.table(table["ruler"], place, ("points_px", "step_mm", "uncertainty_mm"))
        ruler = Ruler(
            points_px=reader.ring(row.get("points_px", []), place),
            step=reader.number(row, "step_mm", place),
            uncertainty=reader.number(row, "uncertainty_mm", place, 0.0),
        )
        if len(ruler.points_px) < 2 or ruler.step <= 0.0:
            reader.fault(
                f"{len(ruler.points_px)} places {ruler.step:g} mm apart",
                place,
                "mark two or more, above zero apart",
            )
    turn = table.get("turn")
    if turn is not None and (isinstance(turn, bool) or turn not in (0, 1, 2, 3)):
        reader.fault(f"turn is {turn!r}", where, "give quarter turns: 0, 1, 2 or 3")
        turn = None
    blank = reader.flag(table, "blank", where, False) if "blank" in table else None
    return SideMarks(points=tuple(points), ruler=ruler, turn=turn, blank=blank)


def _stroke(reader: PlainReader, data: object, where: str) -> tuple[str, Stroke] | None:
    row = reader.table(data, where, ("side", "says", "points_mm", "width_mm"))
    side = reader.side(row, where)
    points = reader.ring(row.get("points_mm", []), where)
    width = reader.number(row, "width_mm", where, 0.3)
    return _made(
        reader,
        where,
        lambda: (side, Stroke(says=reader.text(row, "says", where), points=points, width=width)),
    )


def _part(reader: PlainReader, data: object, where: str) -> PlacedPart | None:
    keys = ("reference", "package", "side", "first_mm", "second_mm", "count", "size_mm", "hole_mm")
    row = reader.table(data, where, keys)
    reference, side = reader.text(row, "reference", where), reader.side(row, where)
    first = reader.place(row.get("first_mm"), where)
    second = reader.place(row.get("second_mm"), where)
    if "package" in row:
        name = reader.text(row, "package", where)
        return _made(
            reader,
            where,
            lambda: place_part(name, reference=reference, side=side, first=first, second=second),
        )
    size = reader.place(row.get("size_mm"), where)
    count = int(reader.number(row, "count", where))
    hole = reader.number(row, "hole_mm", where, 0.0)
    return _made(
        reader,
        where,
        lambda: row_of_pads(
            reference=reference, side=side, first=first, last=second, count=count, size=size, hole=hole
        ),
    )


def _made(reader: PlainReader, where: str, make: Callable[[], Made]) -> Made | None:
    try:
        return make()
    except LidoffError as error:
        reader.fault(error.what, where, error.remedy)
        return None


def _hole(reader: PlainReader, data: object, where: str) -> Hole:
    row = reader.table(data, where, ("at_mm", "diameter_mm", "plated", "filled"))
    diameter = reader.number(row, "diameter_mm", where)
    _made(reader, where, lambda: check_diameter(diameter))
    return Hole(
        at=reader.place(row.get("at_mm"), where),
        diameter=diameter,
        plated=reader.flag(row, "plated", where, True),
        filled=reader.flag(row, "filled", where, False),
        sure=1.0,
    )


def _pair(reader: PlainReader, data: object, where: str) -> tuple[Place, Place]:
    row = reader.table(data, where, ("front_mm", "back_mm"))
    return reader.place(row.get(f"{FRONT}_mm"), where), reader.place(row.get(f"{BACK}_mm"), where)


def _ends(reader: PlainReader, data: object, where: str, *others: str) -> tuple[dict[str, Any], str, str]:
    row = reader.table(data, where, ("first", "second", *others))
    first, second = reader.text(row, "first", where), reader.text(row, "second", where)
    if first and first == second:
        reader.fault(f"both ends are {first}", where, "name two pins or places that differ")
    return row, first, second
