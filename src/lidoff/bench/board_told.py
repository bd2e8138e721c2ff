"""A board as a page shows it: sides, copper with its nets, parts, holes, beeps, contradictions and doubts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from pydantic import Field

from lidoff.bench.models import Closed
from lidoff.bench.pictures import levels_of, raster_of
from lidoff.bench.traced_nets import TracedNets, copper_by_name, nets_on
from lidoff.bench.trouble import Trouble

if TYPE_CHECKING:
    from lidoff.board import Board, Contradiction, PlacedPart, TracedSide
    from lidoff.dossier import Dossier

__all__ = ["BoardTold", "board_told", "spots_of"]

Spot = tuple[float, float]
MOST_DOUBTS = 40


class StrokeTold(Closed):
    """One stroke of the analyst."""

    says: str
    points_mm: list[Spot]
    width_mm: float


class CopperTold(Closed):
    """One piece of copper, the net that it belongs to, and a pin on it by which it can be named; empty without one."""

    piece: int
    net: str
    pin: str
    outer_mm: list[Spot]
    holes_mm: list[list[Spot]]


class SideTold(Closed):
    """One side: its photo, its flat picture in tiles, strokes and copper.

    `px_per_mm` is that of the flat picture, `photo_px_per_mm` that of the photo in the middle of the board; uncertainties are
    standard ones, of the scale relative.
    """

    side: str
    photo: str
    registered: bool
    width: int
    height: int
    levels: int
    px_per_mm: float
    photo_px_per_mm: float
    scale_uncertainty: float
    uncertainty_mm: float
    strokes: list[StrokeTold]
    copper: list[CopperTold]


class PadTold(Closed):
    """One land of a placed part."""

    pin: str
    net: str
    side: str
    corners_mm: list[Spot]
    at_mm: Spot


class PlacedTold(Closed):
    """One placed part; `misfit_mm` is by how much the two clicks lay apart from its package's pads."""

    reference: str
    package: str
    side: str
    body_mm: list[Spot]
    pads: list[PadTold]
    misfit_mm: float


class HoleTold(Closed):
    """One hole through the board, with its net and a pin on that."""

    at_mm: Spot
    diameter_mm: float
    plated: bool
    net: str
    pin: str
    sure: float


class WireTold(Closed):
    """A wire or a stated join."""

    first: str
    second: str
    why: str


class BeepTold(Closed):
    """What the continuity beeper said."""

    first: str
    second: str
    joined: bool
    source: str


class DoubtTold(Closed):
    """A place where the photos do not tell whether copper hangs together."""

    what: str
    at_mm: Spot
    side: str


class NetOnBoard(Closed):
    """One net by the name that it has in the circuit, with its pins on this board.

    `apart` says how many pieces of copper of all boards, which nothing joins but that name, are called so.
    """

    name: str
    pins: list[str]
    apart: int


class ContradictionTold(Closed):
    """A beep that the copper does not bear out: what, where to look, and the beep's number."""

    what: str
    at_mm: list[Spot]
    side: str
    beep: int | None


class BoardTold(Closed):
    """One board at one revision.

    `changed` tells of what is not as it was when copper was found (``photos``, ``parts``, ``strokes``), `warnings` what that
    tracing could not settle.
    """

    board: str
    revision: int
    size_mm: Spot | None
    outline_mm: list[Spot]
    sides: list[SideTold]
    parts: list[PlacedTold]
    holes: list[HoleTold]
    wires: list[WireTold]
    beeps: list[BeepTold]
    nets: list[NetOnBoard]
    contradictions: list[ContradictionTold]
    doubts: list[DoubtTold]
    changed: list[str] = Field(default_factory=list)
    warnings: list[str] = Field(default_factory=list)
    problem: Trouble | None = None


def board_told(traced: TracedNets, dossier: Dossier | None, revision: int) -> BoardTold:
    """Board as a page shows it.

    Parameters
    ----------
    traced : TracedNets
        The board.
    dossier : Dossier or None
        For the names of the nets in the circuit.
    revision : int
        Of the state.

    Returns
    -------
    BoardTold
        With all that stands in its file.
    """
    from lidoff.board import changed_since_found, contradictions, doubtful_joins

    board, names = traced.board, nets_on(dossier, traced)
    pieces = {piece: names[net.name] for net in traced.nets.nets for piece in net.pieces}
    pins = {pin: names[net.name] for net in traced.nets.nets for pin in net.pins}
    holes = {hole: names[net.name] for net in traced.nets.nets for hole in net.holes}
    pin_of = {node: net.pins[0] for net in traced.nets.nets if net.pins for node in (*net.pieces, *net.holes)}
    apart = copper_by_name(dossier, traced)
    on_board: dict[str, list[str]] = {}
    for net in traced.nets.nets:
        if net.pins:
            on_board.setdefault(names[net.name], []).extend(net.pins)
    numbers = {(beep.first, beep.second, beep.joined): n for n, beep in enumerate(board.beeps)}
    wrong = [
        ContradictionTold(
            what=f"{one.beep.first} and {one.beep.second} "
            f"{'beeped, and the copper does not join them' if one.beep.joined else 'stayed silent, and the copper joins them'}"
            f"; {_likeliest(one)}",
            at_mm=[_spot(one.at)],
            side=one.side,
            beep=numbers.get((one.beep.first, one.beep.second, one.beep.joined)),
        )
        for one in (contradictions(traced.links, board.beeps) if board.beeps else ())
    ]
    doubts = [
        DoubtTold(
            what=f"copper at {join.at[0]:.1f} mm, {join.at[1]:.1f} mm on the {join.side} may or may not join",
            at_mm=_spot(join.at),
            side=join.side,
        )
        for join in doubtful_joins(board)[:MOST_DOUBTS]
    ]
    return BoardTold(
        board=board.name,
        revision=revision,
        size_mm=board.size if board.outline else None,
        outline_mm=spots_of(board.outline),
        sides=[_side(board, side, pieces, pin_of) for side in board.sides],
        parts=[_placed(part, pins) for part in board.parts],
        holes=[
            HoleTold(
                at_mm=_spot(hole.at),
                diameter_mm=hole.diameter,
                plated=hole.plated,
                net=holes.get(f"hole:{number + 1}", ""),
                pin=pin_of.get(f"hole:{number + 1}", ""),
                sure=hole.sure,
            )
            for number, hole in enumerate(board.holes)
        ],
        wires=[WireTold(first=one.first, second=one.second, why=one.kind) for one in board.wires],
        beeps=[
            BeepTold(first=one.first, second=one.second, joined=one.joined, source=one.source)
            for one in board.beeps
        ],
        nets=[
            NetOnBoard(name=name, pins=sorted(found), apart=apart.get(name, 1))
            for name, found in sorted(on_board.items())
        ],
        contradictions=wrong,
        doubts=doubts,
        changed=[*changed_since_found(board), *(["size"] if _is_resized(board, dossier) else [])],
        warnings=[]
        if board.copper_found is None
        else [*board.copper_found.doubts, *board.copper_found.coarse],
    )


def _likeliest(one: Contradiction) -> str:
    """Where the copper as found is likeliest to be wrong about a beep."""
    if all(link.stated for link in one.chain):
        return "look for a wire or a misread pin: " + (
            "no copper between them is in doubt" if one.chain else "no copper is seen between them"
        )
    side = f" on the {one.side}" if one.side else ""
    return f"the likeliest place to {'bridge' if one.beep.joined else 'cut'} is {one.at[0]:.1f} mm, {one.at[1]:.1f} mm{side}"


def _is_resized(board: Board, dossier: Dossier | None) -> bool:
    from lidoff.dossier.known_anew import is_stated_otherwise

    entries = () if dossier is None else dossier.boards
    return any(is_stated_otherwise(board, entry) for entry in entries if entry.name == board.name)


def _side(board: Board, side: TracedSide, pieces: Mapping[str, str], pin_of: Mapping[str, str]) -> SideTold:
    scale, own, width, height = 0.0, 0.0, 0, 0
    if side.registration is not None and board.outline:
        scale, width, height = raster_of(side.registration, board.size)
        own = side.registration.pixels_per_mm((board.size[0] / 2, board.size[1] / 2))
    return SideTold(
        side=side.side,
        photo=side.photo,
        registered=scale > 0.0,
        width=width,
        height=height,
        levels=levels_of(width, height) if width else 0,
        px_per_mm=scale,
        photo_px_per_mm=own,
        scale_uncertainty=0.0 if side.registration is None else side.registration.scale_uncertainty,
        uncertainty_mm=0.0 if side.registration is None else side.registration.uncertainty_mm,
        strokes=[
            StrokeTold(says=one.says, points_mm=spots_of(one.points), width_mm=one.width)
            for one in side.strokes
        ],
        copper=[
            CopperTold(
                piece=island.number,
                net=pieces.get(f"{side.side}:{island.number}", ""),
                pin=pin_of.get(f"{side.side}:{island.number}", ""),
                outer_mm=spots_of(island.shell),
                holes_mm=[spots_of(opening) for opening in island.openings],
            )
            for island in side.copper
        ],
    )


def _placed(part: PlacedPart, pins: Mapping[str, str]) -> PlacedTold:
    from lidoff.board import pad_corners

    pads = [
        PadTold(
            pin=pad.pin,
            net=pins.get(pad.pin, ""),
            side=pad.side,
            corners_mm=spots_of(pad_corners(pad)),
            at_mm=_spot(pad.at),
        )
        for pad in part.pads
    ]
    return PlacedTold(
        reference=part.reference,
        package=part.package,
        side=part.side,
        body_mm=_body(part),
        pads=pads,
        misfit_mm=part.misfit,
    )


def _body(part: PlacedPart) -> list[Spot]:
    """Corners of a part's body; none for a row of pads that is no known package."""
    import math

    from lidoff.board import all_packages

    pattern = all_packages().get(part.package)
    if pattern is None:
        return []
    across, down = pattern.body[0] / 2, pattern.body[1] / 2
    turn = math.radians(part.turn)
    cosine, sine = math.cos(turn), math.sin(turn)
    return [
        (part.at[0] + x * cosine - y * sine, part.at[1] + x * sine + y * cosine)
        for x, y in ((-across, -down), (across, -down), (across, down), (-across, down))
    ]


def _spot(place: Sequence[float]) -> Spot:
    return (round(float(place[0]), 4), round(float(place[1]), 4))


def spots_of(places: Sequence[Sequence[float]]) -> list[Spot]:
    """Places as pages take them, to a tenth of a micrometre."""
    return [_spot(place) for place in places]
