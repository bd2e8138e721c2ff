"""How true the tracing of photos is: invented boards of graded difficulty, and real boards from a folder if one is named.

Run: ``python -m benchmarks.board_accuracy [--real FOLDER] [--quick] [--again] [--pictures FOLDER] [--only NAME] [--save]``. A
real board's folder holds front.jpg, back.jpg, copper_top.gbr, copper_bottom.gbr, drill.drl and outline.gbr.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.accuracy_board import KEPT, SECOND
from benchmarks.board_analyst import (
    agreement,
    clicked_pads,
    clicked_parts,
    print_seen,
    scene_of,
    teaching_stroke,
)
from benchmarks.board_netwise import Anchor, net_strokes
from benchmarks.gerber_truth import frame_of, raster, read_drills, read_layer
from benchmarks.real_frame import Moved, as_seen_on, onto_lands
from lidoff.board import (
    BACK,
    BARE,
    CLASSES,
    FRONT,
    SIDES,
    Alignment,
    Camera,
    Copper,
    Hole,
    Layout,
    Outline,
    Pad,
    PlacedPart,
    PreparedSide,
    Rectified,
    Registration,
    RoundSpot,
    Stroke,
    TrackRules,
    View,
    align_back,
    aspect_of_outline,
    board_links,
    copper_of_prepared,
    copper_truth,
    doubtful_necks,
    find_outline,
    find_round_spots,
    nets_from_links,
    pick_turn,
    picture_of_alignment,
    picture_of_copper,
    picture_of_nets,
    pieces_of,
    prepare_side,
    random_layout,
    read_photo,
    rectify,
    register_by_outline,
    render_photos,
    save_picture,
)
from lidoff.board.placed import BESIDE_LAND
from lidoff.board.rasters import copper_coverage, side_rasters
from lidoff.errors import LidoffError

LOOKS, MOST_LOOKS = 3, 12
"""How often the simulated analyst looks again at nets after painting: with few strokes, and with as many as it takes."""

ENOUGH = 0.97
"""Agreement of copper from which on the simulated analyst teaches no more."""

INKED = 0.5
"""Share of print in a pixel from which on a person calls it print."""

REAL_MARGIN_MM = 1.0
"""Strip along a real board's edges on which nobody paints: cut or broken, it may lie otherwise than drawn [mm]."""

AGAIN = 200
"""How much is added to the seed of each grade for a second board, on which nothing was ever tried out."""

NETS_HOLD, MOST_STROKES = 0.98, 250
"""Precision and recall of pin pairs that are aimed at, and strokes on each side after which the simulated analyst gives up."""


@dataclass
class Case:
    """One board to trace: photos, size, truth at any raster, pads with pins, drills."""

    name: str
    photos: Mapping[str, NDArray[np.uint8]]
    size: tuple[float, float]
    truth: Mapping[str, NDArray[np.bool_]]
    px_per_mm: float
    hidden: Mapping[str, NDArray[np.bool_]]
    pads: Sequence[Pad]
    holes: Sequence[Hole]
    pins: Mapping[str, str]
    known_turn: int = 0
    cameras: Mapping[str, Camera] | None = None
    layout: Layout | None = None


def pin_pairs(nets: Mapping[str, str]) -> set[tuple[str, str]]:
    """Pairs of pins of one net."""
    groups: dict[str, list[str]] = {}
    for pin, net in nets.items():
        groups.setdefault(net, []).append(pin)
    return {pair for group in groups.values() for pair in combinations(sorted(group), 2)}


def precision_recall(found: Mapping[str, str], true: Mapping[str, str]) -> tuple[float, float]:
    """Of pin pairs that are joined."""
    a, b = pin_pairs(found), pin_pairs(true)
    both = len(a & b)
    return (both / len(a) if a else 1.0, both / len(b) if b else 1.0)


GRADES: tuple[tuple[str, View, TrackRules, int, bool], ...] = (
    ("easy green", View(finish="green", px_per_mm=20, light=0.1, tilt=3), TrackRules(), 2, True),
    ("easy blue", View(finish="blue", px_per_mm=20, light=0.1, tilt=3, table="paper"), TrackRules(), 3, True),
    ("black", View(finish="black", px_per_mm=20, light=0.2, tilt=8, table="cloth"), TrackRules(), 4, True),
    ("white", View(finish="white", px_per_mm=20, light=0.2, tilt=8), TrackRules(), 5, True),
    (
        "bare phenolic",
        View(finish="bare", px_per_mm=20, light=0.2, tilt=8, table="paper"),
        TrackRules(width=0.6, gap=0.4),
        6,
        False,
    ),
    ("glare", View(finish="green", px_per_mm=20, light=0.4, glare=0.7, tilt=8), TrackRules(), 7, True),
    (
        "tilt 25°, lens",
        View(finish="blue", px_per_mm=20, light=0.3, tilt=25, turn=7, lens=0.05),
        TrackRules(),
        8,
        True,
    ),
    (
        "noise",
        View(finish="green", px_per_mm=20, light=0.3, noise=0.04, blur=1.2, tilt=8),
        TrackRules(),
        9,
        True,
    ),
    ("12 px a track", View(finish="green", px_per_mm=30, light=0.2, tilt=8), TrackRules(), 10, True),
    ("4 px a track", View(finish="green", px_per_mm=10, light=0.2, tilt=8), TrackRules(), 11, True),
    (
        "2 px a track",
        View(finish="green", px_per_mm=8, light=0.2, tilt=5),
        TrackRules(width=0.25, gap=0.25),
        12,
        True,
    ),
    (
        "populated",
        View(finish="green", px_per_mm=20, light=0.3, tilt=8, populated=True),
        TrackRules(),
        13,
        True,
    ),
)


def invented_case(name: str, view: View, rules: TrackRules, seed: int, pour: bool, *, parts: int = 8) -> Case:
    """One graded board."""
    routed = random_layout(np.random.default_rng(seed), parts=parts, rules=rules, pour=pour)
    layout = routed.layout
    photos = render_photos(layout, view, np.random.default_rng(seed + 100))
    scale = max(view.px_per_mm, 20.0)
    truth = {side: copper_truth(layout, side, scale) for side in SIDES}
    hidden = {side: hidden_on(layout, side, scale, view.populated) for side in SIDES}
    missed = set(routed.missed)
    pins = {pin: net for pin, net in photos.truth.pins.items() if net not in missed}
    return Case(
        name=name,
        photos={FRONT: photos.front, BACK: photos.back},
        size=layout.size,
        truth=truth,
        px_per_mm=scale,
        hidden=hidden,
        pads=[pad for pad in layout.pads if pad.pin in pins],
        holes=layout.holes,
        pins=pins,
        cameras=photos.truth.cameras,
        layout=layout,
    )


def hidden_on(layout: Layout, side: str, px_per_mm: float, populated: bool) -> NDArray[np.bool_]:
    """Where a photo of a side cannot show copper: under print, under bodies, in drills, soldered over or not."""
    seen = side_rasters(layout, side, px_per_mm, populated=populated)
    covered = np.asarray((seen.legend > 0.2) | (seen.body > 0.2) | (seen.through > 0.2))
    drills = [hole for hole in layout.holes if not hole.filled]
    return covered | _drilled(drills, covered.shape, px_per_mm)


def flat_of(case: Case, side: str, registration: Registration) -> Rectified:
    """A side's picture as tracing samples it, on the case's raster."""
    return rectify(
        case.photos[side], registration, side=side, size=case.size, px_per_mm=case.px_per_mm, crisp=True
    )


def true_copper(case: Case, side: str, registration: Registration) -> NDArray[np.bool_]:
    """True copper as the registration shows it: its errors have a column of their own, and half a pixel is 5 % of a track."""
    if case.layout is None or case.cameras is None:
        return case.truth[side]
    import cv2

    finer, scale = 3, case.px_per_mm
    # Shares of fine pixels: a fine truth of yes and no would itself be off by up to half a fine pixel, on all tracks alike.
    fine = copper_coverage(case.layout, side, finer * scale)
    rows, columns = case.truth[side].shape
    x, y = (np.arange(n * finer, dtype=float) + 0.5 for n in (columns, rows))
    places = np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2) / (finer * scale)
    camera = case.cameras[side]
    straight = camera.straight(registration.to_photo(places))
    inverse = np.linalg.inv(camera.homography)
    there = straight @ inverse[:, :2].T + inverse[:, 2]
    board = (there[:, :2] / there[:, 2:] * finer * scale - 0.5).astype(np.float32)
    board = board.reshape(rows * finer, columns * finer, 2)
    seen = cv2.remap(fine, board[..., 0], board[..., 1], cv2.INTER_LINEAR)
    return np.asarray(seen.reshape(rows, finer, columns, finer).mean(axis=(1, 3)) >= 0.5)


def real_case(folder: Path, px_per_mm: float) -> Case:
    """One real board with its fabrication files as truth."""
    frame = frame_of(read_layer(folder / "outline.gbr"))
    drills = read_drills(folder / "drill.drl", frame, True)
    unplated = folder / "drill_npth.drl"
    if unplated.exists():
        drills += read_drills(unplated, frame, False)
    holes = [Hole(at=(x, y), diameter=d, plated=plated) for x, y, d, plated in drills]
    truth: dict[str, NDArray[np.bool_]] = {}
    pads: list[Pad] = []
    for side, file in ((FRONT, "copper_top.gbr"), (BACK, "copper_bottom.gbr")):
        layer = read_layer(folder / file)
        truth[side] = raster(layer, frame, px_per_mm, drills)
        for item in layer.items:
            if (
                item.kind == "flash"
                and item.aperture
                and min(item.aperture.width, item.aperture.height) >= 0.3
            ):
                x, y = frame.place(item.points[0])
                size = (item.aperture.width, item.aperture.height)
                through = any(np.hypot(x - hx, y - hy) < 0.1 for hx, hy, _, _ in drills)
                # A flash with a drill is one pin on both sides; a via's is none.
                via = through and max(size) < 1.0
                name = f"T{x:.1f}/{y:.1f}" if through else f"{side[0].upper()}{x:.1f}/{y:.1f}"
                if not via and not any(p.pin == name and p.side == side for p in pads):
                    pads.append(
                        Pad(
                            side=side,
                            net="",
                            at=(x, y),
                            size=size,
                            round=item.aperture.shape == "C",
                            pin=name,
                        )
                    )
    links = board_links(
        {side: _true_pieces(side, truth[side], px_per_mm) for side in SIDES}, pads=pads, holes=holes
    )
    nets = nets_from_links(links, pins=[pad.pin for pad in pads])
    of_hole = {hole: net.name for net in nets.nets if net.pins for hole in net.holes}
    holes = [
        replace(hole, net=of_hole.get(f"hole:{number}", "")) for number, hole in enumerate(holes, start=1)
    ]
    return Case(
        name=folder.name,
        photos={side: read_photo(folder / f"{side}.jpg").picture for side in SIDES},
        size=frame.size,
        truth=truth,
        px_per_mm=px_per_mm,
        hidden={side: _drilled(holes, truth[side].shape, px_per_mm) for side in SIDES},
        pads=pads,
        holes=holes,
        pins=dict(nets.pin_nets()),
    )


def _drilled(holes: Sequence[Hole], shape: tuple[int, ...], px_per_mm: float) -> NDArray[np.bool_]:
    """Pixels within a drill, where a photo shows the table or the hole's wall."""
    y, x = (np.arange(count) + 0.5 for count in shape)
    within = np.zeros(shape, bool)
    for hole in holes:
        reach = 0.5 * hole.diameter * px_per_mm
        column, row = hole.at[0] * px_per_mm, hole.at[1] * px_per_mm
        top, left = max(int(row - reach), 0), max(int(column - reach), 0)
        window = (slice(top, int(row + reach) + 2), slice(left, int(column + reach) + 2))
        within[window] |= np.hypot(x[None, window[1]] - column, y[window[0], None] - row) < reach
    return within


def _true_pieces(side: str, mask: NDArray[np.bool_], px_per_mm: float):  # type: ignore[no-untyped-def]
    return pieces_of(
        Copper(
            side=side,
            px_per_mm=px_per_mm,
            probability=mask.astype(np.float32),
            mask=mask,
            classes=np.where(mask, 0, 2).astype(np.uint8),
            fixed=np.zeros(mask.shape, bool),
        )
    )


def registered(case: Case) -> tuple[dict[str, Registration], Alignment, dict[str, Outline], str]:
    """Both sides registered by outline, the back aligned by holes."""
    outlines = {side: find_outline(case.photos[side]) for side in SIDES}
    width, height = case.size
    front = register_by_outline(outlines[FRONT], side=FRONT, width=width, height=height)
    flat = rectify(case.photos[FRONT], front, side=FRONT, size=case.size, px_per_mm=16)
    front_spots = find_round_spots(flat)
    square = abs(width / height - 1) < 0.1
    tried = []
    turns = (0, 1, 2, 3) if square else (0, 2)
    first = register_by_outline(outlines[BACK], side=BACK, width=width, height=height)
    back_spots = find_round_spots(rectify(case.photos[BACK], first, side=BACK, size=case.size, px_per_mm=16))
    seen = first.to_photo(np.array([spot.at for spot in back_spots]).reshape(-1, 2))
    for turn in turns:
        back = register_by_outline(outlines[BACK], side=BACK, width=width, height=height, quarter_turns=turn)
        spots = [
            replace(spot, at=(float(x), float(y)))
            for spot, (x, y) in zip(back_spots, back.to_board(seen), strict=True)
        ]
        tried.append(align_back(front_spots, spots, back))
    note = ""
    try:
        best = pick_turn(tried)
    except LidoffError as error:
        note = f"turn by hand ({error.what})"
        best = turns.index(case.known_turn)
    return {FRONT: front, BACK: tried[best].registration}, tried[best], outlines, note


def measured(case: Case, strokes_allowed: int, pictures: Path | None) -> dict[str, object]:
    """Trace one board without and with strokes and compare with the truth."""
    started = time.perf_counter()
    registrations, alignment, outlines, note = registered(case)
    scale_error = max(
        abs(aspect_of_outline(outlines[side]).ratio * case.size[1] / case.size[0] - 1.0) for side in SIDES
    )
    row: dict[str, object] = {
        "board": case.name,
        "holes paired": len(alignment.pairs),
        "alignment residual, median mm": round(alignment.median_mm, 3),
        "scale from one edge, error %": round(100 * scale_error, 2),
        "note": note,
    }
    if case.cameras is not None:
        row["place error, median mm"] = round(_place_error(case, registrations), 3)
    else:
        row["place error, median mm"], registrations = _onto_files(case, registrations, row)
    if case.layout is not None:
        case, parts = as_seen(case, registrations)
    else:
        parts = clicked_lands(case, registrations)
    flats, prepared, truth = {}, {}, {}
    for side in SIDES:
        flats[side] = flat_of(case, side, registrations[side])
        prepared[side] = prepare_side(
            flats[side],
            spots=find_round_spots(flats[side]),
            parts=parts,
            holes=case.holes,
            px_per_mm=case.px_per_mm,
        )
        truth[side] = true_copper(case, side, registrations[side])
    coppers = {side: copper_of_prepared(prepared[side]) for side in SIDES}
    row["without strokes"] = _figures(case, coppers, truth)
    row["seconds without strokes"] = round(time.perf_counter() - started, 1)
    painted = {
        side: corrected_by_analyst(case, prepared[side], coppers[side], truth[side], strokes_allowed)
        for side in SIDES
    }
    coppers = {side: one.copper for side, one in painted.items()}
    row["strokes"] = sum(len(one.strokes) for one in painted.values())
    row["with strokes"] = reached = _figures(case, coppers, truth)
    if min(float(str(reached[name])) for name in ("precision", "recall")) < NETS_HOLD:
        for side in SIDES:
            taught = painted[side].taught
            start = replace(painted[side], copper=copper_of_prepared(prepared[side], taught), strokes=taught)
            painted[side] = with_net_strokes(
                prepared[side], truth[side], anchors_on(case, side), start, MOST_STROKES, looks=MOST_LOOKS
            )
        coppers = {side: one.copper for side, one in painted.items()}
        row["strokes until nets hold"] = sum(len(one.strokes) for one in painted.values())
        row["with as many strokes as it takes"] = _figures(case, coppers, truth)
    if pictures:
        _save(case, pictures, flats, coppers, alignment)
    return row


def as_seen(case: Case, registrations: Mapping[str, Registration]) -> tuple[Case, tuple[PlacedPart, ...]]:
    """The case with pads and holes where a person sees them on the flattened photos, and the parts clicked there."""
    assert case.layout is not None
    assert case.cameras is not None
    cameras = case.cameras

    def seen(side: str, place: tuple[float, float]) -> tuple[float, float]:
        x, y = registrations[side].to_board(cameras[side].to_photo(np.array([place])))[0]
        return float(x), float(y)

    parts = clicked_parts(case.layout, np.random.default_rng(len(case.layout.pads)), seen)
    holes = tuple(replace(hole, at=seen(FRONT, hole.at)) for hole in case.holes)
    pads = [pad for part in parts for pad in part.pads if pad.pin in case.pins]
    return replace(case, pads=pads, holes=holes), parts


def clicked_lands(case: Case, registrations: Mapping[str, Registration]) -> tuple[PlacedPart, ...]:
    """Lands of a real board as a person clicks them in both photos."""
    seen = [
        pad
        for side in SIDES
        for pad in as_seen_on(
            case.pads, case.holes, case.photos[side], registrations[side], side=side, size=case.size
        )
    ]
    return clicked_pads(seen, np.random.default_rng(len(seen)))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Corrected:
    """Copper of a side after the simulated analyst's strokes; `taught` is what only the strokes that teach led to."""

    copper: Copper
    strokes: tuple[Stroke, ...]
    taught: tuple[Stroke, ...]


def corrected_by_analyst(
    case: Case, prepared: PreparedSide, copper: Copper, truth: NDArray[np.bool_], allowed: int
) -> Corrected:
    """Copper of a side after at most so many strokes.

    First strokes that teach, of copper and laminate in turn, until two in a row make nothing truer; the others
    part and join nets. Nets come first: where teaching would leave too few strokes for them, the last ones that teach are not
    painted; where nets are far from right all the same, copper comes first. What is still wrong is looked for again.
    """
    visible = ~case.hidden[prepared.side]
    anchors = anchors_on(case, prepared.side)
    lands = np.isin(prepared.placed, (CLASSES.index(BARE), BESIDE_LAND))
    if case.layout is not None:
        ink = side_rasters(case.layout, prepared.side, case.px_per_mm, populated=False).legend > INKED
        margin = 0.0
    else:
        ink, margin = print_seen(prepared.picture, truth, visible, lands), REAL_MARGIN_MM
    scene = scene_of(truth, visible, lands, ink, case.px_per_mm, margin_mm=margin)
    taught: list[Stroke] = []
    stages = [copper]
    reached = [agreement(copper.mask, truth, visible)]
    while len(taught) < allowed and max(reached) < ENOUGH and max(reached[-3:]) >= max(reached):
        stroke = teaching_stroke(stages[-1], scene, [one.says for one in taught])
        if stroke is None:
            break
        taught.append(stroke)
        stages.append(copper_of_prepared(prepared, taught))
        reached.append(agreement(stages[-1].mask, truth, visible))
    best = int(np.argmax(reached))
    stages = stages[: best + 1]  # a person takes back what makes it worse
    every = [net_strokes(stage, truth, anchors, limit=2 * allowed)[0] for stage in stages]
    lacking = [max(0, len(parting) - (allowed - count)) for count, parting in enumerate(every)]
    count = (
        max(range(len(stages)), key=lambda number: (-lacking[number], number))
        if min(lacking) < allowed
        else best
    )
    return with_net_strokes(
        prepared,
        truth,
        anchors,
        Corrected(copper=stages[count], strokes=tuple(taught[:count]), taught=tuple(taught[:best])),
        allowed,
    )


def anchors_on(case: Case, side: str) -> list[Anchor]:
    """What must hang together on a side: lands of pins, and plated holes where their net is known."""
    lands = [Anchor(at=pad.at, net=case.pins.get(pad.pin, pad.pin)) for pad in case.pads if pad.side == side]
    return lands + [
        Anchor(at=hole.at, net=hole.net, drill=hole.diameter)
        for hole in case.holes
        if hole.plated and hole.net
    ]


def with_net_strokes(
    prepared: PreparedSide,
    truth: NDArray[np.bool_],
    anchors: Sequence[Anchor],
    start: Corrected,
    allowed: int,
    *,
    looks: int = LOOKS,
) -> Corrected:
    """Copper after strokes that part and join nets, looked for again as long as any are left of those allowed."""
    copper, strokes = start.copper, start.strokes
    for _ in range(1 + looks):
        left = allowed - len(strokes)
        more = net_strokes(copper, truth, anchors, limit=left)[0] if left > 0 else []
        if not more:
            break
        strokes = (*strokes, *more)
        copper = copper_of_prepared(prepared, strokes)
    return replace(start, copper=copper, strokes=strokes)


def _figures(
    case: Case, coppers: Mapping[str, Copper], truth: Mapping[str, NDArray[np.bool_]]
) -> dict[str, object]:
    pieces = {side: pieces_of(copper) for side, copper in coppers.items()}
    links = board_links(pieces, pads=case.pads, holes=case.holes)
    nets = nets_from_links(links, pins=[pad.pin for pad in case.pads])
    found = {pin: net for pin, net in nets.pin_nets().items() if pin in case.pins}
    precision, recall = precision_recall(found, case.pins)
    overlap = [agreement(coppers[side].mask, truth[side], ~case.hidden[side]) for side in SIDES]
    inner = [agreement(coppers[side].mask, truth[side], ~case.hidden[side], slack=1) for side in SIDES]
    return {
        "IoU front": round(overlap[0], 3),
        "IoU back": round(overlap[1], 3),
        "IoU front but for edge pixels": round(inner[0], 3),
        "IoU back but for edge pixels": round(inner[1], 3),
        "precision": round(precision, 3),
        "recall": round(recall, 3),
        "check here": sum(len(doubtful_necks(p)) for p in pieces.values()),
    }


def _place_error(case: Case, registrations: Mapping[str, Registration]) -> float:
    grid = np.stack(np.meshgrid(*(np.linspace(0, extent, 7) for extent in case.size)), -1).reshape(-1, 2)
    errors = []
    assert case.cameras is not None
    for side in SIDES:
        seen = case.cameras[side].to_photo(grid)
        errors.append(np.linalg.norm(registrations[side].to_board(seen) - grid, axis=1))
    return float(np.median(np.concatenate(errors)))


def _onto_files(
    case: Case, registrations: Mapping[str, Registration], row: dict[str, object]
) -> tuple[float, dict[str, Registration]]:
    """How far the outline's registration lies from the fabrication files, and registrations moved onto them.

    Copper is compared with the fabrication files pixel by pixel, so that both must lie in one frame; the move is reported.
    """
    moved: dict[str, Registration] = {}
    before: list[float] = []
    after: list[float] = []
    pairs = 0
    for side in SIDES:
        by_lands = onto_lands(
            case.photos[side],
            registrations[side],
            side=side,
            size=case.size,
            pads=case.pads,
            holes=case.holes,
        )
        one = by_lands or _onto_drills(case, side, registrations[side])
        moved[side] = one.registration
        if one.pairs:
            pairs += one.pairs
            before.append(one.before_mm)
            after.append(one.residual_mm)
    row["onto the files, pairs"] = pairs
    row["onto the files, residual median mm"] = round(max(after, default=float("inf")), 3)
    return round(max(before, default=float("inf")), 3), moved


def _onto_drills(case: Case, side: str, registration: Registration) -> Moved:
    """A side moved onto the drill file by its holes, where its lands are not to be told from other copper."""
    drills = [
        RoundSpot(
            at=hole.at,
            diameter=hole.diameter,
            darker=True,
            roundness=1.0,
            contrast=1.0,
            metal_rim=float(hole.plated),
        )
        for hole in case.holes
    ]
    flat = rectify(case.photos[side], registration, side=side, size=case.size, px_per_mm=16)
    spots = [spot for spot in find_round_spots(flat) if spot.darker or spot.metal_rim < 0.2]
    fitted = align_back(drills, spots, registration, reach=1.2)
    before = [float(np.hypot(*(np.array(pair.front) - pair.back))) for pair in fitted.pairs]
    return Moved(
        registration=fitted.registration,
        pairs=len(fitted.pairs),
        before_mm=float(np.median(before)) if before else float("inf"),
        residual_mm=fitted.median_mm,
    )


def _save(
    case: Case,
    folder: Path,
    flats: Mapping[str, Rectified],
    coppers: Mapping[str, Copper],
    alignment: Alignment,
) -> None:
    name = case.name.replace(" ", "_").replace(",", "").replace("°", "")
    pieces = {side: pieces_of(coppers[side]) for side in SIDES}
    nets = nets_from_links(board_links(pieces, pads=case.pads, holes=case.holes))
    save_picture(picture_of_alignment(flats[FRONT], flats[BACK], alignment), folder / f"{name}_alignment.png")
    for side in SIDES:
        copper = picture_of_copper(flats[side], coppers[side], doubtful_necks(pieces[side]))
        save_picture(copper, folder / f"{name}_{side}_copper.png")
        save_picture(picture_of_nets(flats[side], pieces[side], nets), folder / f"{name}_{side}_nets.png")


def main() -> None:
    """Measure and print the table; write JSON beside the pictures if asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--real", type=Path, help="folder with real boards")
    parser.add_argument("--real-only", action="store_true", help="no invented boards")
    parser.add_argument("--quick", action="store_true", help="the two easy boards alone")
    parser.add_argument(
        "--again", action="store_true", help="a second board of each grade, in place of the first"
    )
    parser.add_argument(
        "--save", action="store_true", help="keep the figures, from which the page is written"
    )
    parser.add_argument("--only", default="", help="boards whose name holds this text")
    parser.add_argument("--strokes", type=int, default=10, help="strokes allowed on each side")
    parser.add_argument("--pictures", type=Path, help="folder for pictures and figures")
    asked = parser.parse_args()
    grades = [grade for grade in GRADES if asked.only in grade[0] and not asked.real_only]
    if asked.again:
        grades = [
            (f"{name}{SECOND}", view, rules, seed + AGAIN, pour) for name, view, rules, seed, pour in grades
        ]
    rows: list[dict[str, object]] = [
        _shown(measured(invented_case(*grade), asked.strokes, asked.pictures))
        for grade in (grades[:2] if asked.quick else grades)
    ]
    if asked.real:
        for folder in sorted(path for path in asked.real.iterdir() if (path / "outline.gbr").exists()):
            if asked.only in folder.name:
                # The only hand-given fact of a real board is its size, and the back's turn where holes cannot tell.
                case = real_case(folder, 20.0)
                case.known_turn = 2 if case.size[0] > 2 * case.size[1] else 0
                rows.append(_shown(measured(case, asked.strokes, asked.pictures)))
    if asked.save:
        keep(rows)


def keep(rows: Sequence[dict[str, object]]) -> None:
    """Put figures in place of older ones of the same boards."""
    old = json.loads(KEPT.read_text(encoding="utf-8")) if KEPT.exists() else []
    by_name = {row["board"]: row for row in [*old, *rows]}
    lines = ",\n ".join(json.dumps(row, ensure_ascii=False) for row in by_name.values())
    KEPT.write_text(f"[\n {lines}\n]\n", encoding="utf-8")


def _shown(row: dict[str, object]) -> dict[str, object]:
    print(json.dumps(row, ensure_ascii=False), flush=True)
    return row


if __name__ == "__main__":
    main()
