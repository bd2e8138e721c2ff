"""Write the invented boards of the demo dossiers: ``python -m demos.make_boards``.

For each board of ``layouts/``: photos of its sides, what an analyst decided by hand about it (clicks with some scatter, strokes
where the first guess is wrong, names of nets), and the trace that follows from both. Photos and decisions come from the
layout; the trace is made by the same call as ``lidoff trace``, from those files alone. ``--check`` writes nothing and ends with
1 where a trace made again has other nets than the committed one; ``--decide`` keeps photos, ``--trace`` photos and
decisions.
"""

from __future__ import annotations

import argparse
import hashlib
import math
import shutil
import sys
import tempfile
from collections.abc import Mapping, Sequence
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import numpy as np
from PIL import Image

from benchmarks.board_netwise import anchors_of, net_strokes
from lidoff.board import (
    ByHand,
    Camera,
    SidePhoto,
    Stroke,
    Tracing,
    board_nets,
    by_hand_from_dict,
    copper_truth,
    package,
    photo_of_side,
    read_photo,
    trace_board,
)
from lidoff.dossier import FILE_NAME, load_dossier, trace_dossier
from lidoff.dossier.toml_text import toml_text, value_text

from .board_truth import BoardTruth

HERE = Path(__file__).parent
CLICK_MM, CLICK_PX = 0.04, 0.6
"""Scatter of a careful person's clicks; our choice."""
MOST_STROKES = 40


def all_boards() -> Sequence[BoardTruth]:
    """The boards in the folder ``layouts``, by name."""
    names = sorted(module.name for module in iter_modules([str(HERE / "layouts")]))
    return [import_module(f".layouts.{name}", __package__).TRUTH for name in names]


def photo_file(truth: BoardTruth, side: str) -> Path:
    """Where a side's photo lies."""
    return HERE / truth.dossier / "photos" / f"{truth.board}-{side}.jpg"


def hand_file(truth: BoardTruth) -> Path:
    """Where the decisions by hand lie."""
    return HERE / truth.dossier / "boards" / f"{truth.board}-by-hand.toml"


def write_photos(truth: BoardTruth) -> Mapping[str, Camera]:
    """Photograph both sides; returns the cameras, which only marks need."""
    cameras = {}
    for number, (side, view) in enumerate(truth.views.items()):
        chance = np.random.default_rng([truth.seed, number])
        picture, cameras[side] = photo_of_side(truth.layout, side, view, chance)
        file = photo_file(truth, side)
        file.parent.mkdir(exist_ok=True)
        Image.fromarray(picture).save(
            file, quality=88, comment="invented board, rendered for a demo of lidoff"
        )
    return cameras


def decisions(truth: BoardTruth, cameras: Mapping[str, Camera]) -> dict[str, object]:
    """What the analyst marked, clicked and named, before any stroke."""
    chance = np.random.default_rng([truth.seed, 9])

    def clicked(at: Sequence[float]) -> list[float]:
        return [round(float(value + chance.normal(0.0, CLICK_MM)), 2) for value in at]

    found: dict[str, object] = {}
    for side in truth.views:
        marks: dict[str, object] = {}
        if side in truth.blank:
            marks["blank"] = True
        if truth.marked:
            seen = cameras[side].to_photo(np.array(truth.marked)) + chance.normal(
                0.0, CLICK_PX, (len(truth.marked), 2)
            )
            marks["points"] = [
                {"photo_px": [round(float(value), 1) for value in px], "board_mm": list(mm)}
                for px, mm in zip(seen, truth.marked, strict=True)
            ]
        if marks:
            found[side] = marks
    if truth.layout.cutouts:
        found["cutouts_mm"] = [[list(place) for place in cutout] for cutout in truth.layout.cutouts]
    parts = []
    for body in truth.layout.bodies:
        first, second = package(body.package).clicks
        pads: dict[str, tuple[float, float]] = {}
        for pad in truth.layout.pads:
            if pad.pin.rpartition(".")[0] == body.reference:
                pads.setdefault(pad.pin, pad.at)  # the first land of a pin is the one to click
        start = pads[f"{body.reference}.{first}"]
        end = pads[f"{body.reference}.{second}"] if second != first else (start[0] + 1.0, start[1])
        parts.append(
            {
                "reference": body.reference,
                "package": body.package,
                "side": body.side,
                "first_mm": clicked(start),
                "second_mm": clicked(end),
            }
        )
    found["parts"] = parts
    names: dict[str, str] = {}
    for pad in truth.layout.pads:
        net = truth.read_as.get(pad.pin, pad.net)
        if pad.pin and net and net not in names.values():
            names[pad.pin] = net
    found["names"] = names
    return found


def with_strokes(truth: BoardTruth, decided: dict[str, object]) -> dict[str, object]:
    """The same with what the simulated analyst adds where the trace is wrong, and with the truth's own slip.

    Holes that no photo shows whole are stated; one stroke goes over every wrong join and break.
    """
    decided = {**decided, "holes": missed_holes(truth, traced(truth, by_hand_from_dict(decided)))}
    tracing = traced(truth, by_hand_from_dict(decided))
    strokes: dict[str, list[Stroke]] = {}
    for side, steps in tracing.steps.items():
        if side not in truth.blank:
            true = copper_truth(truth.layout, side, steps.copper.px_per_mm)
            strokes[side], _ = net_strokes(
                steps.copper, true, anchors_of(truth.layout, side), limit=MOST_STROKES
            )
    painted = [(side, stroke) for side, own in strokes.items() for stroke in own]
    slips = [
        (side, Stroke(says=says, points=(first, second), width=width))
        for side, says, first, second, width in truth.slip
    ]
    rows = [
        {
            "side": side,
            "says": stroke.says,
            "points_mm": [[round(x, 2), round(y, 2)] for x, y in stroke.points],
            "width_mm": stroke.width,
        }
        for side, stroke in (*painted, *slips)
    ]
    return {**decided, "strokes": rows}


def missed_holes(truth: BoardTruth, tracing: Tracing) -> list[dict[str, object]]:
    """Plated holes without a lead that the trace did not find, or took for unplated: the analyst states them."""
    leads = {pad.at for pad in truth.layout.pads if pad.pin}
    stated: list[dict[str, object]] = []
    for hole in truth.layout.holes:
        if not hole.plated or hole.at in leads:
            continue
        near = [one for one in tracing.board.holes if math.dist(one.at, hole.at) < 0.3]
        if not any(one.plated for one in near):
            stated.append({"at_mm": [round(value, 2) for value in hole.at], "diameter_mm": hole.diameter})
    return stated


def traced(truth: BoardTruth, by_hand: ByHand) -> Tracing:
    """Trace from the photos as written, without touching the dossier."""
    photos = {}
    for side in truth.views:
        photo = read_photo(photo_file(truth, side))
        photos[side] = SidePhoto(picture=photo.picture, sha256=photo.sha256)
    width, height = truth.layout.size
    return trace_board(photos, name=truth.board, width=width, height=height, by_hand=by_hand)


def hand_text(truth: BoardTruth, decided: Mapping[str, object]) -> str:
    """Decisions as TOML, one row a line."""
    lines = [
        "# What was decided by hand about this board: clicks, holes, strokes, names. Invented, like the device.",
        f"# Made by demos/make_boards.py; lidoff trace . --board {truth.board} --hand boards/{hand_file(truth).name} takes it.",
    ]
    tables = []
    for key, value in decided.items():
        if isinstance(value, list):
            rows = ",\n".join(f"  {value_text(row)}" for row in value)
            lines.append(f"{key} = [\n{rows},\n]" if rows else f"{key} = []")
        elif isinstance(value, Mapping):
            body = []
            for name, entry in value.items():
                if isinstance(entry, list):
                    rows = ",\n".join(f"  {value_text(row)}" for row in entry)
                    body.append(f"{name} = [\n{rows},\n]")
                else:
                    body.append(
                        f'"{name}" = {value_text(entry)}' if "." in name else f"{name} = {value_text(entry)}"
                    )
            tables.append("\n".join([f"[{key}]", *body]))
    return "\n".join(lines) + "\n\n" + "\n\n".join(tables) + "\n"


def pin_groups(nets: Mapping[str, str]) -> set[frozenset[str]]:
    """Pins that hang together, whatever the nets are called."""
    groups: dict[str, set[str]] = {}
    for pin, net in nets.items():
        groups.setdefault(net, set()).add(pin)
    return {frozenset(group) for group in groups.values()}


def mistakes(truth: BoardTruth, found: Mapping[str, str]) -> str:
    """Where the found nets are not those of the layout (as the analyst misread it), in words; empty where they are."""
    true = {pad.pin: truth.read_as.get(pad.pin, pad.net) or pad.pin for pad in truth.layout.pads if pad.pin}
    wrong = pin_groups(found) ^ pin_groups(true)
    return "; ".join(sorted(", ".join(sorted(group)) for group in wrong))


def untraced_text(truth: BoardTruth) -> str:
    """A dossier of nothing but the board and its photos, as it stands before anything is traced."""
    width, height = truth.layout.size
    board = {truth.board: {"width": f"{width:g} mm", "height": f"{height:g} mm"}}
    photos = [
        {"file": f"photos/{photo_file(truth, side).name}", "board": truth.board, "side": side}
        for side in truth.views
    ]
    return toml_text({"device": {"title": truth.dossier}, "boards": board, "photos": photos})


def retraced(truth: BoardTruth) -> tuple[Mapping[str, str], str]:
    """Nets and board text of a trace made from the photos and the decisions alone."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch)
        shutil.copytree(HERE / truth.dossier / "photos", folder / "photos")
        (folder / FILE_NAME).write_text(untraced_text(truth), encoding="utf-8")
        done = trace_dossier(folder, board=truth.board, by_hand=hand_file(truth))[0]
        return done.tracing.nets.pin_nets(), done.file.read_text(encoding="utf-8")


def main(arguments: Sequence[str] | None = None) -> int:
    """Write or check every board.

    Returns
    -------
    int
        0; with ``--check`` 1 where nets would change; 1 where a trace has not the nets that were meant.
    """
    parser = argparse.ArgumentParser(prog="python -m demos.make_boards", description=__doc__)
    parser.add_argument("--check", action="store_true", help="write nothing; trace again and compare nets")
    parser.add_argument(
        "--decide", action="store_true", help="keep photos without marks, decide and trace again"
    )
    parser.add_argument("--trace", action="store_true", help="keep photos and decisions, trace again")
    parser.add_argument("--only", default="", help="the one demo")
    asked = parser.parse_args(arguments)
    bad = False
    for truth in all_boards():
        if asked.only not in ("", truth.dossier):
            continue
        if not (asked.check or asked.trace):
            # Only marks on the photos need the cameras.
            cameras = {} if asked.decide and not truth.marked else write_photos(truth)
            hand_file(truth).parent.mkdir(exist_ok=True)
            hand_file(truth).write_text(
                hand_text(truth, with_strokes(truth, decisions(truth, cameras))), encoding="utf-8"
            )
        nets, text = retraced(truth)
        wrong = mistakes(truth, nets)
        committed = hand_file(truth).with_name(f"{truth.board}.json")
        if asked.check:
            kept = next(
                board for board in load_dossier(HERE / truth.dossier).traced if board.name == truth.board
            )
            same = pin_groups(board_nets(kept).pin_nets()) == pin_groups(nets)
            state = "as it was" if same else "would change"
            bad = bad or not same
        else:
            committed.write_text(text, encoding="utf-8")
            state = f"written, {hashlib.sha256(text.encode()).hexdigest()[:12]}"
        bad = bad or bool(wrong)
        sys.stdout.write(
            f"{truth.dossier} {truth.board}: {state}" + (f"; other nets: {wrong}" if wrong else "") + "\n"
        )
    return int(bad)


if __name__ == "__main__":
    sys.exit(main())
