"""Small invented boards and copper for the tests of this room."""

from functools import cache

import numpy as np

from lidoff.board import (
    BACK,
    FRONT,
    SIDES,
    BoardPhotos,
    Copper,
    Layout,
    PartToPlace,
    View,
    layout_from_parts,
    render_photos,
)


@cache
def night_lamp_layout() -> Layout:
    """A lamp that nobody sells: header, resistor, lamp, transistor on 26 mm × 20 mm."""
    routed = layout_from_parts(
        [
            PartToPlace(reference="J1", package="HEADER-3", nets={"1": "vcc", "2": "signal", "3": "gnd"}),
            PartToPlace(reference="R1", package="0805", nets={"1": "vcc", "2": "anode"}),
            PartToPlace(reference="D1", package="LED-5", nets={"A": "anode", "K": "drain"}),
            PartToPlace(reference="Q1", package="SOT-23", nets={"1": "signal", "2": "gnd", "3": "drain"}),
        ],
        size=(26.0, 20.0),
        pour=(BACK, "gnd"),
        mounting_holes=((2.6, 2.6), (23.4, 17.4)),
    )
    assert routed.missed == ()
    return routed.layout


@cache
def photos(
    finish: str = "green", tilt: float = 8.0, lens: float = 0.03, px_per_mm: float = 16.0
) -> BoardPhotos:
    """Both photos of the lamp's board."""
    view = View(
        finish=finish,
        tilt=tilt,
        turn=6.0,
        lens=lens,
        light=0.2,
        px_per_mm=px_per_mm,
        noise=0.004,
        table="paper",
    )
    return render_photos(night_lamp_layout(), view, np.random.default_rng(7))


def copper_from(mask: np.ndarray, px_per_mm: float = 10.0, side: str = FRONT, sure: float = 0.98) -> Copper:
    """Copper that is as sure as told."""
    assert side in SIDES
    return Copper(
        side=side,
        px_per_mm=px_per_mm,
        probability=np.where(mask, sure, 1.0 - sure).astype(np.float32),
        mask=mask,
        classes=np.where(mask, 0, 2).astype(np.uint8),
        fixed=np.zeros(mask.shape, bool),
    )
