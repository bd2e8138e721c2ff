"""A traced board for the tests of stills and reports: two resistors, one on each side, joined through a hole."""

import hashlib
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from lidoff.board import Body, Hole, Layout, Pad, Registration, Track, board_from_layout, board_to_dict

SIZE = (20.0, 10.0)
PER_MM = 10.0


def _chip(reference: str, at: tuple[float, float], side: str, nets: tuple[str, str]) -> list[Pad]:
    return [
        Pad(pin=f"{reference}.{pin}", at=(at[0] + shift, at[1]), size=(1.0, 1.4), side=side, net=net)
        for pin, shift, net in (("1", -1.0, nets[0]), ("2", 1.0, nets[1]))
    ]


def small_layout() -> Layout:
    """R1 on the front, R2 on the back, and the net between them through a plated hole."""
    width, height = SIZE
    return Layout(
        outline=((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)),
        pads=(
            *_chip("R1", (5.0, 5.0), "front", ("plus", "tap")),
            *_chip("R2", (14.0, 5.0), "back", ("tap", "gnd")),
        ),
        tracks=(
            Track(side="front", points=((6.0, 5.0), (9.5, 5.0)), width=0.5, net="tap"),
            Track(side="back", points=((9.5, 5.0), (13.0, 5.0)), width=0.5, net="tap"),
        ),
        holes=(Hole(at=(9.5, 5.0), diameter=0.6, plated=True, net="tap"),),
        bodies=(
            Body(reference="R1", package="0805", at=(5.0, 5.0), size=(2.0, 1.25), side="front"),
            Body(reference="R2", package="0805", at=(14.0, 5.0), size=(2.0, 1.25), side="back"),
        ),
    )


def write_board(folder: Path, *, photo: bool = True) -> None:
    """Write the board ``main`` into a dossier's folder, its front with a plain photo if asked for."""
    board = board_from_layout(small_layout(), "main")
    if photo:
        rows, columns = round(SIZE[1] * PER_MM), round(SIZE[0] * PER_MM)
        file = folder / "photos" / "front.png"
        file.parent.mkdir(parents=True, exist_ok=True)
        Image.fromarray(np.full((rows, columns, 3), (30, 90, 60), np.uint8)).save(file)
        registration = Registration(homography=np.diag([PER_MM, PER_MM, 1.0]), photo_shape=(rows, columns))
        sides = tuple(
            replace(
                side,
                photo="photos/front.png",
                sha256=hashlib.sha256(file.read_bytes()).hexdigest(),
                registration=registration,
            )
            if side.side == "front"
            else side
            for side in board.sides
        )
        board = replace(board, sides=sides)
    (folder / "boards").mkdir(parents=True, exist_ok=True)
    (folder / "boards" / "main.json").write_text(json.dumps(board_to_dict(board)), encoding="utf-8")
