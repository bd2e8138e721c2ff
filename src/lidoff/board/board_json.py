"""A traced board as plain data for ``boards/<board>.json``, and back with every fault told at once.

Lengths are millimetres, rounded to a micrometre; unknown keys are faults.
"""

from __future__ import annotations

from dataclasses import asdict
from types import MappingProxyType
from typing import Any

import numpy as np

from lidoff.board.beeps import Beep
from lidoff.board.classes import Stroke
from lidoff.board.copper_found import SORTS, CopperFound
from lidoff.board.frame import Registration
from lidoff.board.islands import Island, Join
from lidoff.board.layout import Hole, Pad, Place
from lidoff.board.nets import Wire
from lidoff.board.package import PlacedPart
from lidoff.board.plain_data import PlainReader
from lidoff.board.traced import Board, TracedSide
from lidoff.errors import DossierError

__all__ = ["board_from_dict", "board_to_dict"]


VERSION = 1


def _place(place: Place) -> list[float]:
    return [round(float(place[0]), 3), round(float(place[1]), 3)]


def _pad_dict(pad: Pad) -> dict[str, Any]:
    return {
        "pin": pad.pin,
        "side": pad.side,
        "at_mm": _place(pad.at),
        "size_mm": _place(pad.size),
        "turn_deg": round(pad.turn, 3),
        "round": pad.round,
    }


def _registration_dict(registration: Registration) -> dict[str, Any]:
    return {
        "homography": [[float(value) for value in row] for row in registration.homography],
        "lens": registration.lens,
        "photo_rows": registration.photo_shape[0],
        "photo_columns": registration.photo_shape[1],
        "uncertainty_mm": registration.uncertainty_mm,
        "scale_uncertainty": registration.scale_uncertainty,
    }


def _side_dict(side: TracedSide) -> dict[str, Any]:
    return {
        "side": side.side,
        "photo": side.photo,
        "sha256": side.sha256,
        "registration": _registration_dict(side.registration) if side.registration else None,
        "px_per_mm": side.px_per_mm,
        **({} if side.edge_uncertainty is None else {"edge_uncertainty_mm": round(side.edge_uncertainty, 4)}),
        "blank": side.blank,
        "strokes": [
            {"says": stroke.says, "points_mm": [_place(p) for p in stroke.points], "width_mm": stroke.width}
            for stroke in side.strokes
        ],
        "copper": [
            {
                "number": item.number,
                "shell_mm": [_place(p) for p in item.shell],
                "openings_mm": [[_place(p) for p in ring] for ring in item.openings],
            }
            for item in side.copper
        ],
        "joins": [
            {
                "first": join.first,
                "second": join.second,
                "probability": round(join.probability, 4),
                "at_mm": _place(join.at),
                "stated": join.stated,
            }
            for join in side.joins
        ],
    }


def _found_dict(found: CopperFound) -> dict[str, Any]:
    return {**asdict(found), "doubts": list(found.doubts), "coarse": list(found.coarse)}


def board_to_dict(board: Board) -> dict[str, Any]:
    """Board as plain data, ready for JSON; lengths in millimetres."""
    return {
        "version": VERSION,
        "name": board.name,
        "outline_mm": [_place(p) for p in board.outline],
        "cutouts_mm": [[_place(p) for p in ring] for ring in board.cutouts],
        "thickness_mm": board.thickness,
        "sides": [_side_dict(side) for side in board.sides],
        "holes": [
            {
                "at_mm": _place(hole.at),
                "diameter_mm": round(hole.diameter, 3),
                "plated": hole.plated,
                "net": hole.net,
                "filled": hole.filled,
                "sure": round(hole.sure, 3),
            }
            for hole in board.holes
        ],
        "parts": [
            {
                "reference": part.reference,
                "package": part.package,
                "side": part.side,
                "at_mm": _place(part.at),
                "turn_deg": round(part.turn, 3),
                "stretch": round(part.stretch, 5),
                "misfit_mm": round(part.misfit, 3),
                "pads": [_pad_dict(pad) for pad in part.pads],
            }
            for part in board.parts
        ],
        "wires": [{"first": wire.first, "second": wire.second, "kind": wire.kind} for wire in board.wires],
        "beeps": [
            {"first": beep.first, "second": beep.second, "joined": beep.joined, "source": beep.source}
            for beep in board.beeps
        ],
        "net_names": dict(sorted(board.net_names.items())),
        **({} if board.copper_found is None else {"copper_found": _found_dict(board.copper_found)}),
    }


_BOARD_KEYS = [
    "version",
    "name",
    "outline_mm",
    "cutouts_mm",
    "thickness_mm",
    "sides",
    "holes",
    "parts",
    "wires",
    "beeps",
    "net_names",
    "copper_found",
]


def board_from_dict(data: object) -> Board:
    """Board from plain data.

    Parameters
    ----------
    data : object
        What JSON gave.

    Returns
    -------
    Board
        Equal to the one written, within the rounding to a micrometre.

    Raises
    ------
    DossierError
        Lists every fault with its place; unknown keys are faults.
    """
    reader = PlainReader()
    table = reader.table(data, "board", _BOARD_KEYS)
    if table.get("version") != VERSION:
        reader.fault(f"version is {table.get('version')!r}", "board", f"this version reads {VERSION}")
    outline = reader.ring(table.get("outline_mm", []), "outline_mm")
    if len(outline) < 3:
        reader.fault(f"the outline has {len(outline)} corners", "outline_mm", "give three or more")
    board = {
        "name": reader.text(table, "name", "board"),
        "outline": outline,
        "cutouts": tuple(
            reader.ring(ring, f"cutouts_mm, {n + 1}")
            for n, ring in enumerate(reader.rows(table.get("cutouts_mm", []), "cutouts_mm"))
        ),
        "thickness": reader.number(table, "thickness_mm", "board", 1.6),
        "sides": tuple(
            _read_side(reader, item, f"sides, {n + 1}")
            for n, item in enumerate(reader.rows(table.get("sides", []), "sides"))
        ),
        "holes": tuple(
            _read_hole(reader, item, f"holes, {n + 1}")
            for n, item in enumerate(reader.rows(table.get("holes", []), "holes"))
        ),
        "parts": tuple(
            _read_part(reader, item, f"parts, {n + 1}")
            for n, item in enumerate(reader.rows(table.get("parts", []), "parts"))
        ),
        "wires": tuple(
            _read_wire(reader, item, f"wires, {n + 1}")
            for n, item in enumerate(reader.rows(table.get("wires", []), "wires"))
        ),
        "beeps": tuple(
            _read_beep(reader, item, f"beeps, {n + 1}")
            for n, item in enumerate(reader.rows(table.get("beeps", []), "beeps"))
        ),
    }
    board["copper_found"] = _read_found(reader, table.get("copper_found"))
    names = table.get("net_names", {})
    if not isinstance(names, dict) or not all(isinstance(value, str) for value in names.values()):
        reader.fault("net_names is no table of texts", "net_names", 'give "R1.1" = "vcc" and the like')
        names = {}
    if reader.faults:
        raise DossierError("the board cannot be read", faults=reader.faults)
    return Board(**board, net_names=MappingProxyType(dict(names)))  # type: ignore[arg-type]


def _read_side(reader: PlainReader, data: object, where: str) -> TracedSide:
    table = reader.table(
        data,
        where,
        [
            "side",
            "photo",
            "sha256",
            "registration",
            "px_per_mm",
            "edge_uncertainty_mm",
            "blank",
            "strokes",
            "copper",
            "joins",
        ],
    )
    side = reader.side(table, where)
    strokes = []
    for n, item in enumerate(reader.rows(table.get("strokes", []), where)):
        place = f"{where}, strokes, {n + 1}"
        row = reader.table(item, place, ("says", "points_mm", "width_mm"))
        points = reader.ring(row.get("points_mm", []), place)
        width = reader.number(row, "width_mm", place, 0.3)
        try:
            strokes.append(Stroke(says=reader.text(row, "says", place), points=points, width=width))
        except Exception as error:
            reader.fault(str(error), place, "paint it again")
    copper = []
    for n, item in enumerate(reader.rows(table.get("copper", []), where)):
        place = f"{where}, copper, {n + 1}"
        row = reader.table(item, place, ("number", "shell_mm", "openings_mm"))
        shell = reader.ring(row.get("shell_mm", []), place)
        openings = tuple(reader.ring(ring, place) for ring in reader.rows(row.get("openings_mm", []), place))
        if len(shell) < 3 or any(len(ring) < 3 for ring in openings):
            reader.fault(f"a polygon of {len(shell)} corners", place, "three or more")
            continue
        number = int(reader.number(row, "number", place))
        copper.append(
            Island(
                side=side,
                number=number,
                shell=shell,
                openings=openings,
                area=_area(shell) - sum(_area(ring) for ring in openings),
                pieces=(number,),
            )
        )
    joins = []
    for n, item in enumerate(reader.rows(table.get("joins", []), where)):
        place = f"{where}, joins, {n + 1}"
        row = reader.table(item, place, ("first", "second", "probability", "at_mm", "stated"))
        joins.append(
            Join(
                side=side,
                first=int(reader.number(row, "first", place)),
                second=int(reader.number(row, "second", place)),
                probability=reader.number(row, "probability", place),
                at=reader.place(row.get("at_mm"), place),
                stated=reader.flag(row, "stated", place, False),
            )
        )
    return TracedSide(
        side=side,
        photo=reader.text(table, "photo", where, ""),
        sha256=reader.text(table, "sha256", where, ""),
        registration=_read_registration(reader, table.get("registration"), f"{where}, registration"),
        px_per_mm=reader.number(table, "px_per_mm", where, 20.0),
        strokes=tuple(strokes),
        copper=tuple(copper),
        joins=tuple(joins),
        blank=reader.flag(table, "blank", where, False),
        # Boards that were traced before edges told how sure they are have none.
        edge_uncertainty=reader.number(table, "edge_uncertainty_mm", where)
        if "edge_uncertainty_mm" in table
        else None,
    )


def _area(ring: tuple[Place, ...]) -> float:
    # By hand: rings are short, and there are hundreds of them each time a board is read.
    return abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, (*ring[1:], *ring[:1]), strict=True))) / 2


def _read_registration(reader: PlainReader, data: object, where: str) -> Registration | None:
    if data is None:
        return None
    keys = ["homography", "lens", "photo_rows", "photo_columns", "uncertainty_mm", "scale_uncertainty"]
    table = reader.table(data, where, keys)
    try:
        matrix = np.array(table.get("homography"), dtype=float)
        if matrix.shape != (3, 3) or not np.all(np.isfinite(matrix)):
            raise ValueError
    except (ValueError, TypeError):
        reader.fault("homography is no 3 × 3 matrix", where, "register the photo again")
        return None
    return Registration(
        homography=matrix,
        lens=reader.number(table, "lens", where, 0.0),
        photo_shape=(
            int(reader.number(table, "photo_rows", where)),
            int(reader.number(table, "photo_columns", where)),
        ),
        uncertainty_mm=reader.number(table, "uncertainty_mm", where, 0.0),
        scale_uncertainty=reader.number(table, "scale_uncertainty", where, 0.0),
    )


def _read_found(reader: PlainReader, data: object) -> CopperFound | None:
    if data is None:
        return None
    where = "copper_found"
    table = reader.table(data, where, (*SORTS, "doubts", "coarse"))
    marks = {sort: reader.text(table, sort, where, "") for sort in SORTS}
    doubts, coarse = (
        tuple(str(one) for one in reader.rows(table.get(key, []), where)) for key in ("doubts", "coarse")
    )
    return CopperFound(**marks, doubts=doubts, coarse=coarse)


def _read_hole(reader: PlainReader, data: object, where: str) -> Hole:
    table = reader.table(data, where, ("at_mm", "diameter_mm", "plated", "net", "filled", "sure"))
    return Hole(
        at=reader.place(table.get("at_mm"), where),
        diameter=reader.number(table, "diameter_mm", where),
        plated=reader.flag(table, "plated", where, True),
        net=reader.text(table, "net", where, ""),
        filled=reader.flag(table, "filled", where, False),
        sure=reader.number(table, "sure", where, 0.97),
    )


def _read_part(reader: PlainReader, data: object, where: str) -> PlacedPart:
    keys = ["reference", "package", "side", "at_mm", "turn_deg", "stretch", "misfit_mm", "pads"]
    table = reader.table(data, where, keys)
    pads = []
    for n, item in enumerate(reader.rows(table.get("pads", []), where)):
        place = f"{where}, pads, {n + 1}"
        row = reader.table(item, place, ("pin", "side", "at_mm", "size_mm", "turn_deg", "round"))
        pads.append(
            Pad(
                side=reader.side(row, place),
                net="",
                at=reader.place(row.get("at_mm"), place),
                size=reader.place(row.get("size_mm"), place),
                turn=reader.number(row, "turn_deg", place, 0.0),
                round=reader.flag(row, "round", place, False),
                pin=reader.text(row, "pin", place, ""),
            )
        )
    return PlacedPart(
        reference=reader.text(table, "reference", where),
        package=reader.text(table, "package", where),
        side=reader.side(table, where),
        at=reader.place(table.get("at_mm"), where),
        turn=reader.number(table, "turn_deg", where, 0.0),
        stretch=reader.number(table, "stretch", where, 1.0),
        pads=tuple(pads),
        misfit=reader.number(table, "misfit_mm", where, 0.0),
    )


def _read_wire(reader: PlainReader, data: object, where: str) -> Wire:
    table = reader.table(data, where, ("first", "second", "kind"))
    return Wire(
        first=reader.text(table, "first", where),
        second=reader.text(table, "second", where),
        kind=reader.text(table, "kind", where, "wire"),
    )


def _read_beep(reader: PlainReader, data: object, where: str) -> Beep:
    table = reader.table(data, where, ("first", "second", "joined", "source"))
    return Beep(
        first=reader.text(table, "first", where),
        second=reader.text(table, "second", where),
        joined=reader.flag(table, "joined", where, True),
        source=reader.text(table, "source", where, "continuity beep"),
    )
