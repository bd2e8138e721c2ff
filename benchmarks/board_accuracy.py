"""How true the tracing of photos is: invented boards of graded difficulty, and real boards from a folder if one is named.

Run: ``python -m benchmarks.board_accuracy [--real FOLDER] [--quick] [--pictures FOLDER] [--only NAME]``. A real board's
folder holds front.jpg, back.jpg, copper_top.gbr, copper_bottom.gbr, drill.drl and outline.gbr.
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

from benchmarks.board_analyst import agreement, next_stroke
from benchmarks.gerber_truth import frame_of, raster, read_drills, read_layer
from lidoff.board import (
    BACK,
    CLASSES,
    FRONT,
    SIDES,
    Alignment,
    Copper,
    Hole,
    Outline,
    Pad,
    Rectified,
    Registration,
    RoundSpot,
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
    pad_corners,
    pick_turn,
    picture_of_alignment,
    picture_of_copper,
    picture_of_nets,
    picture_of_outline,
    pieces_of,
    prepare_side,
    random_layout,
    read_photo,
    rectify,
    register_by_outline,
    render_photos,
    save_picture,
)
from lidoff.errors import LidoffError


@dataclass
class Case:
    """One board to trace: photos, size, truth at any raster, pads with pins, drills."""

    name: str
    photos: Mapping[str, NDArray[np.uint8]]
    size: tuple[float, float]
    truth: Mapping[str, NDArray[np.bool_]]
    px_per_mm: float
    bare: Mapping[str, NDArray[np.bool_]]
    pads: Sequence[Pad]
    holes: Sequence[Hole]
    pins: Mapping[str, str]
    known_turn: int = 0
    cameras: Mapping[str, object] | None = None


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


def invented_case(name: str, view: View, rules: TrackRules, seed: int, pour: bool) -> Case:
    """One graded board."""
    routed = random_layout(np.random.default_rng(seed), parts=8, rules=rules, pour=pour)
    layout = routed.layout
    photos = render_photos(layout, view, np.random.default_rng(seed + 100))
    scale = max(view.px_per_mm, 10.0)
    truth = {side: copper_truth(layout, side, scale) for side in SIDES}
    bare = {}
    for side in SIDES:
        bare[side] = np.zeros(truth[side].shape, bool)
        import cv2

        canvas = np.zeros(truth[side].shape, np.uint8)
        for pad in layout.pads:
            if pad.side == side and pad.pin:
                corners = np.round((np.array(pad_corners(pad)) * scale - 0.5) * 16).astype(np.int32)
                cv2.fillPoly(canvas, [corners], [1], cv2.LINE_8, 4)
        bare[side] = canvas > 0
    missed = set(routed.missed)
    pins = {pin: net for pin, net in photos.truth.pins.items() if net not in missed}
    return Case(
        name=name,
        photos={FRONT: photos.front, BACK: photos.back},
        size=layout.size,
        truth=truth,
        px_per_mm=scale,
        bare=bare,
        pads=[pad for pad in layout.pads if pad.pin in pins],
        holes=layout.holes,
        pins=pins,
        cameras=photos.truth.cameras,
    )


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
    return Case(
        name=folder.name,
        photos={side: read_photo(folder / f"{side}.jpg").picture for side in SIDES},
        size=frame.size,
        truth=truth,
        px_per_mm=px_per_mm,
        bare={side: np.zeros(truth[side].shape, bool) for side in SIDES},
        pads=pads,
        holes=holes,
        pins=dict(nets.pin_nets()),
    )


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
        row["place error, median mm"], registrations = _onto_drills(case, registrations, row)
    flats, prepared, strokes = {}, {}, {side: [] for side in SIDES}  # type: ignore[var-annotated]
    for side in SIDES:
        flats[side] = rectify(
            case.photos[side], registrations[side], side=side, size=case.size, px_per_mm=case.px_per_mm
        )
        prepared[side] = prepare_side(
            flats[side], spots=find_round_spots(flats[side]), px_per_mm=case.px_per_mm
        )
    coppers = {side: copper_of_prepared(prepared[side]) for side in SIDES}
    row["without strokes"] = _figures(case, coppers)
    row["seconds without strokes"] = round(time.perf_counter() - started, 1)
    used = 0
    for side in SIDES:
        for number in range(strokes_allowed):
            stroke = next_stroke(coppers[side], case.truth[side], case.bare[side], late=number >= 5)
            if stroke is None:
                break
            strokes[side].append(stroke)
            used += 1
            coppers[side] = copper_of_prepared(prepared[side], strokes[side])
    row["strokes"] = used
    row["with strokes"] = _figures(case, coppers)
    if pictures:
        _save(case, pictures, flats, coppers, alignment, outlines)
    return row


def _figures(case: Case, coppers: Mapping[str, Copper]) -> dict[str, object]:
    pieces = {side: pieces_of(copper) for side, copper in coppers.items()}
    links = board_links(pieces, pads=case.pads, holes=case.holes)
    nets = nets_from_links(links, pins=[pad.pin for pad in case.pads])
    found = {pin: net for pin, net in nets.pin_nets().items() if pin in case.pins}
    precision, recall = precision_recall(found, case.pins)
    body = CLASSES.index("body")
    overlap = [
        agreement(coppers[side].mask, case.truth[side], coppers[side].classes != body) for side in SIDES
    ]
    return {
        "IoU front": round(overlap[0], 3),
        "IoU back": round(overlap[1], 3),
        "precision": round(precision, 3),
        "recall": round(recall, 3),
        "check here": sum(len(doubtful_necks(p)) for p in pieces.values()),
    }


def _place_error(case: Case, registrations: Mapping[str, Registration]) -> float:
    grid = np.stack(np.meshgrid(*(np.linspace(0, extent, 7) for extent in case.size)), -1).reshape(-1, 2)
    errors = []
    assert case.cameras is not None
    for side in SIDES:
        seen = case.cameras[side].to_photo(grid)  # type: ignore[attr-defined]
        errors.append(np.linalg.norm(registrations[side].to_board(seen) - grid, axis=1))
    return float(np.median(np.concatenate(errors)))


def _onto_drills(
    case: Case, registrations: Mapping[str, Registration], row: dict[str, object]
) -> tuple[float, dict[str, Registration]]:
    """How far the outline's registration lies from the drill file, and registrations moved onto that file.

    Copper is compared with the fabrication files pixel by pixel, so that both must lie in one frame; the move is reported.
    """
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
    moved: dict[str, Registration] = {}
    before, after = [], []
    for side in SIDES:
        flat = rectify(case.photos[side], registrations[side], side=side, size=case.size, px_per_mm=16)
        spots = [spot for spot in find_round_spots(flat) if spot.darker or spot.metal_rim < 0.2]
        fitted = align_back(drills, spots, registrations[side], reach=1.2)
        moved[side] = fitted.registration
        before += [float(np.hypot(*(np.array(p.front) - p.back))) for p in fitted.pairs]
        after += [pair.residual for pair in fitted.pairs]
    row["onto the drill file, pairs"] = len(after)
    row["onto the drill file, residual median mm"] = round(float(np.median(after)), 3) if after else None
    return (round(float(np.median(before)), 3) if before else float("inf")), moved


def _save(
    case: Case,
    folder: Path,
    flats: Mapping[str, Rectified],
    coppers: Mapping[str, Copper],
    alignment: Alignment,
    outlines: Mapping[str, Outline],
) -> None:
    name = case.name.replace(" ", "_").replace(",", "").replace("°", "")
    pieces = {side: pieces_of(coppers[side]) for side in SIDES}
    nets = nets_from_links(board_links(pieces, pads=case.pads, holes=case.holes))
    save_picture(picture_of_alignment(flats[FRONT], flats[BACK], alignment), folder / f"{name}_alignment.png")
    for side in SIDES:
        save_picture(
            picture_of_outline(case.photos[side], outlines[side]), folder / f"{name}_{side}_outline.png"
        )
        copper = picture_of_copper(flats[side], coppers[side], doubtful_necks(pieces[side]))
        save_picture(copper, folder / f"{name}_{side}_copper.png")
        save_picture(picture_of_nets(flats[side], pieces[side], nets), folder / f"{name}_{side}_nets.png")


def main() -> None:
    """Measure and print the table; write JSON beside the pictures if asked."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--real", type=Path, help="folder with real boards")
    parser.add_argument("--real-only", action="store_true", help="no invented boards")
    parser.add_argument("--quick", action="store_true", help="the two easy boards alone")
    parser.add_argument("--only", default="", help="boards whose name holds this text")
    parser.add_argument("--strokes", type=int, default=10, help="strokes allowed on each side")
    parser.add_argument("--pictures", type=Path, help="folder for pictures and figures")
    asked = parser.parse_args()
    grades = [grade for grade in GRADES if asked.only in grade[0] and not asked.real_only]
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
    if asked.pictures:
        asked.pictures.mkdir(parents=True, exist_ok=True)
        (asked.pictures / "board_accuracy.json").write_text(json.dumps(rows, indent=1, ensure_ascii=False))


def _shown(row: dict[str, object]) -> dict[str, object]:
    print(json.dumps(row, ensure_ascii=False), flush=True)
    return row


if __name__ == "__main__":
    main()
