"""Traced boards as pictures need them: all copper of a net, however many polygons a piece is of."""

from dataclasses import replace

import pytest

from lidoff.board import Board, board_from_layout
from lidoff.report.boards import BoardView

from .boards import small_layout


def parted(*, sliver_first: bool) -> Board:
    """The small board, of which every piece has a sliver of its own number beside it."""
    board = board_from_layout(small_layout(), "main")
    sides = []
    for side in board.sides:
        copper = []
        for island in side.copper:
            (x, y), *_ = island.shell
            sliver = replace(island, shell=((x, y), (x + 0.03, y), (x, y + 0.03)), openings=(), area=0.00045)
            copper += [sliver, island] if sliver_first else [island, sliver]
        sides.append(replace(side, copper=tuple(copper)))
    return replace(board, sides=tuple(sides))


@pytest.mark.parametrize("sliver_first", [False, True])
def test_every_polygon_of_a_piece_belongs_to_its_net(sliver_first: bool) -> None:
    board = parted(sliver_first=sliver_first)
    view = BoardView(board=board)
    every = sum(island.area for side in board.sides for island in side.copper)
    assert pytest.approx(every) == sum(island.area for islands in view.nets.values() for island in islands)


def test_no_polygon_of_a_piece_belongs_to_two_nets() -> None:
    board = parted(sliver_first=False)
    lit = [id(island) for islands in BoardView(board=board).nets.values() for island in islands]
    assert len(set(lit)) == len(lit)
