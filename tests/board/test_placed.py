"""What placed lands tell of seeds beside them."""

import numpy as np

from lidoff.board.classes import BARE, CLASSES, LAMINATE
from lidoff.board.placed import NOT_PLACED, print_beside_lands

METAL, MASK = np.array([190.0, 190, 185]), np.array([15.0, 69, 38])


def test_pale_spots_beside_placed_lands_are_print_and_bright_ones_metal() -> None:
    labels = np.full((60, 90), CLASSES.index(LAMINATE), np.int8)
    even = np.broadcast_to(MASK, (60, 90, 3)).astype(np.float32).copy()
    placed = np.full((60, 90), NOT_PLACED, np.int8)
    spots = {"land": slice(10, 20), "letter": slice(40, 50), "test point": slice(70, 80)}
    for name, columns in spots.items():
        labels[20:30, columns] = CLASSES.index(BARE)
        even[20:30, columns] = MASK + (0.75 if name == "letter" else 1.0) * (METAL - MASK)
    placed[20:30, spots["land"]] = CLASSES.index(BARE)
    found = print_beside_lands(labels, even, placed)
    assert found[20:30, spots["letter"]].all()
    assert int(found.sum()) == 100


def test_without_a_placed_land_nothing_is_taken_for_print() -> None:
    labels = np.full((60, 90), CLASSES.index(LAMINATE), np.int8)
    labels[20:30, 40:50] = CLASSES.index(BARE)
    even = np.broadcast_to(MASK, (60, 90, 3)).astype(np.float32)
    assert not print_beside_lands(labels, even, np.full((60, 90), NOT_PLACED, np.int8)).any()
