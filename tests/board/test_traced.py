"""The board's value, its JSON form, and the generator's truth."""

import json

import numpy as np
import pytest

from lidoff.board import (
    SIDES,
    PartToPlace,
    TrackRules,
    View,
    board_from_dict,
    board_from_layout,
    board_nets,
    board_to_dict,
    check_layout,
    circuit_parts,
    layout_from_parts,
    random_layout,
    rectangle,
    render_photos,
)
from lidoff.board.layout import Layout, Track
from lidoff.errors import DossierError, ImpossibleValue, UnknownName
from tests.board.build import night_lamp_layout, photos


def test_a_layouts_trace_gives_its_own_nets_back() -> None:
    layout = night_lamp_layout()
    found = {
        f"{part.reference}.{pin}": net
        for part in circuit_parts(board_from_layout(layout, "lamp"))
        for pin, net in part.pins.items()
    }
    assert {pad.pin: pad.net for pad in layout.pads if pad.pin} == found


@pytest.mark.parametrize("seed", [3, 14])
def test_random_boards_keep_their_nets_apart(seed: int) -> None:
    routed = random_layout(np.random.default_rng(seed), parts=6)
    board = board_from_layout(routed.layout, "random")
    for net in board_nets(board).nets:
        assert len({board.net_names[pin] for pin in net.pins if pin in board.net_names}) <= 1


def test_a_board_comes_back_from_json() -> None:
    board = board_from_layout(night_lamp_layout(), "lamp")
    once = board_from_dict(json.loads(json.dumps(board_to_dict(board))))
    assert board_to_dict(once) == board_to_dict(board_from_dict(board_to_dict(once)))
    assert board_nets(once).pin_nets() == board_nets(board).pin_nets()


def test_every_fault_of_a_board_file_is_told_with_its_place() -> None:
    data = board_to_dict(board_from_layout(night_lamp_layout(), "lamp"))
    data["holes"][1]["diameter_mm"] = "wide"
    data["parts"][0]["side"] = "top"
    data["colour"] = "green"
    with pytest.raises(DossierError) as caught:
        board_from_dict(data)
    words = str(caught.value)
    assert "holes, 2: diameter_mm is 'wide'" in words
    assert "parts, 1: side is 'top'; one of front, back" in words
    assert "unknown key 'colour'" in words


def test_equal_seeds_give_equal_photos() -> None:
    view = View(px_per_mm=6.0)
    one, other = (render_photos(night_lamp_layout(), view, np.random.default_rng(3)) for _ in range(2))
    assert np.array_equal(one.front, other.front)
    assert np.array_equal(one.back, other.back)


def test_the_truth_knows_where_the_photo_shows_each_corner() -> None:
    shot = photos("white")
    corners = np.array(night_lamp_layout().outline)
    for side in SIDES:
        seen = shot.truth.cameras[side].to_photo(corners)
        rows, columns = shot.truth.cameras[side].photo_shape
        assert np.all((seen > 0) & (seen < [columns, rows]))


def test_the_back_is_mirrored() -> None:
    def turning(side: str) -> float:
        a, b, c = photos().truth.cameras[side].to_photo(np.array(night_lamp_layout().outline)[:3])
        return float((b - a)[0] * (c - b)[1] - (b - a)[1] * (c - b)[0])

    assert turning("front") * turning("back") < 0


def test_an_unknown_finish_is_refused() -> None:
    with pytest.raises(UnknownName, match="finish 'gren' is not known; did you mean 'green'"):
        render_photos(night_lamp_layout(), View(finish="gren"), np.random.default_rng(0))


def test_an_impossible_layout_tells_every_fault() -> None:
    bad = Layout(
        outline=rectangle(5, 5)[:2], tracks=(Track(side="top", net="a", points=((0, 0), (1, 1)), width=0.0),)
    )
    with pytest.raises(ImpossibleValue) as caught:
        check_layout(bad)
    words = str(caught.value)
    assert "2 corners" in words
    assert "side 'top'; one of front, back" in words
    assert "has width 0.0 mm" in words


def test_a_pin_that_the_package_has_not_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"R1: package 0603 has no pin '3'; known: 1, 2"):
        layout_from_parts([PartToPlace(reference="R1", package="0603", nets={"3": "a"})])


def test_a_net_without_a_way_is_listed() -> None:
    cut = ((9.0, -1.0), (11.0, -1.0), (11.0, 21.0), (9.0, 21.0))
    routed = layout_from_parts(
        [
            PartToPlace(reference="R1", package="0805", nets={"1": "a", "2": "b"}, at=(4.0, 10.0)),
            PartToPlace(reference="R2", package="0805", nets={"1": "a", "2": "b"}, at=(16.0, 10.0)),
        ],
        size=(20.0, 20.0),
        cutouts=(cut,),
        rules=TrackRules(sides=("front",)),
    )
    assert set(routed.missed) == {"a", "b"}
