"""Traced boards of a dossier: traced from photos, merged with typed parts, and each checked against the other."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lidoff.board import BACK, FRONT, Beep, View, board_from_layout, render_photos
from lidoff.dossier import (
    analyse,
    board_text,
    circuit_of,
    dossier_from_text,
    dossier_text,
    load_dossier,
    save_board,
    trace_dossier,
)
from lidoff.dossier.board_findings import board_findings
from lidoff.dossier.editing import apply
from lidoff.dossier.edits import Unplace
from lidoff.errors import DossierError, LidoffError, PhotoRefused, UnknownName
from tests.board.build import night_lamp_layout

LAYOUT = night_lamp_layout()
WIDTH, HEIGHT = LAYOUT.size


def parts_of_layout(*, pins: bool = False, board: bool = True) -> str:
    lines = []
    for body in LAYOUT.bodies:
        lines += [f"[parts.{body.reference}]", 'kind = "box"']
        if board:
            lines.append('board = "lamp"')
        if pins:
            nets = {
                pad.pin.rpartition(".")[2]: pad.net
                for pad in LAYOUT.pads
                if pad.pin.startswith(body.reference + ".")
            }
            told = ", ".join(f'{json.dumps(pin)} = "{net}"' for pin, net in nets.items())
            lines.append(f"pins = {{ {told} }}")
    return "\n".join(lines) + "\n"


HEAD = f"""
[device]
title = "invented lamp"
[boards.lamp]
width = "{WIDTH} mm"
height = "{HEIGHT} mm"
[[photos]]
file = "photos/front.png"
board = "lamp"
side = "front"
[[photos]]
file = "photos/back.png"
board = "lamp"
side = "back"
"""

PERFECT = board_text(board_from_layout(LAYOUT, "lamp"))


def true_nets() -> dict[str, str]:
    return {pad.pin: pad.net for pad in LAYOUT.pads if pad.pin}


def nets_of(text: str, board: str = PERFECT) -> dict[str, str]:
    dossier = dossier_from_text(text, boards={"boards/lamp.json": board})
    return {
        f"{part.reference}.{pin}": net for part in circuit_of(dossier).parts for pin, net in part.pins.items()
    }


@pytest.fixture(scope="module")
def traced_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("lamp")
    (folder / "photos").mkdir()
    photos = render_photos(LAYOUT, View(px_per_mm=20, tilt=3, light=0.1), np.random.default_rng(5))
    for side, picture in ((FRONT, photos.front), (BACK, photos.back)):
        Image.fromarray(picture).save(folder / "photos" / f"{side}.png")
    (folder / "dossier.toml").write_text(HEAD + parts_of_layout(), encoding="utf-8")
    # What the analyst places by clicks: parts with their lands. Copper, holes and registration come from the photos.
    known = replace(board_from_layout(LAYOUT, "lamp"), sides=(), holes=())
    save_board(known, folder)
    trace_dossier(folder)
    return folder


def test_a_circuit_comes_wholly_from_the_photos_of_its_board(traced_folder: Path) -> None:
    circuit = circuit_of(load_dossier(traced_folder))
    found = {f"{part.reference}.{pin}": net for part in circuit.parts for pin, net in part.pins.items()}
    assert true_nets() == found


def test_tracing_leaves_a_picture_of_every_step(traced_folder: Path) -> None:
    names = {file.stem for file in (traced_folder / "out" / "board").iterdir()}
    steps = ("1-flat", "2-classes", "3-copper", "4-nets", "5-parts")
    assert {f"lamp-{side}-{step}" for side in (FRONT, BACK) for step in steps} <= names


def test_a_second_tracing_keeps_registration_and_nets(traced_folder: Path) -> None:
    before = load_dossier(traced_folder).traced[0]
    again = trace_dossier(traced_folder)[0].tracing.board
    assert before.sides[0].registration is not None
    assert again.sides[0].registration is not None
    np.testing.assert_allclose(
        before.sides[0].registration.homography, again.sides[0].registration.homography, atol=1e-6
    )
    assert nets_of(HEAD + parts_of_layout(), board_text(again)) == true_nets()


def test_a_board_fills_in_pins_that_were_not_typed() -> None:
    assert true_nets() == nets_of(HEAD + parts_of_layout())


def test_what_a_board_told_is_not_written_back_as_typed() -> None:
    boards = {"boards/lamp.json": PERFECT}
    dossier = dossier_from_text(HEAD + parts_of_layout(), boards=boards)
    text = dossier_text(dossier)
    assert "pins" not in text
    assert dossier == dossier_from_text(text, boards=boards)


def test_board_and_typed_circuit_that_agree_give_no_finding() -> None:
    dossier = dossier_from_text(HEAD + parts_of_layout(pins=True), boards={"boards/lamp.json": PERFECT})
    assert [] == [one for one in analyse(dossier).findings if one.name == "board and circuit disagree"]


def disagreements(text: str, board: str = PERFECT) -> str:
    dossier = dossier_from_text(text, boards={"boards/lamp.json": board})
    found = analyse(dossier).findings
    return "\n".join(one.what for one in found if one.name == "board and circuit disagree")


def test_a_typed_net_that_the_board_joins_with_another_is_told_with_its_place() -> None:
    pin, net = next(iter(true_nets().items()))
    reference, _, land = pin.rpartition(".")
    text = (HEAD + parts_of_layout(pins=True)).replace(
        f'[parts.{reference}]\nkind = "box"\nboard = "lamp"\npins = {{ "{land}" = "{net}"',
        f'[parts.{reference}]\nkind = "box"\nboard = "lamp"\npins = {{ "{land}" = "elsewhere"',
    )
    told = disagreements(text)
    assert "joins what the circuit keeps apart" in told
    assert "elsewhere" in told
    assert "look at" in told


def test_a_typed_net_that_lies_in_two_pieces_of_the_board_is_told() -> None:
    names = sorted(set(true_nets().values()))
    text = (HEAD + parts_of_layout(pins=True)).replace(f'"{names[0]}"', f'"{names[1]}"')
    board = json.loads(PERFECT)
    board["net_names"] = {}
    assert "joins what the board keeps apart" in disagreements(text, json.dumps(board))


def test_a_part_on_the_board_without_an_entry_is_told() -> None:
    reference = LAYOUT.bodies[0].reference
    told = disagreements(HEAD + parts_of_layout().replace(f"[parts.{reference}]", "[parts.X99]"))
    assert f"{reference} (" in told
    assert "no part of that reference is typed" in told
    assert "X99 is said to sit on the board" in told


def test_a_beep_that_the_copper_does_not_bear_out_is_told() -> None:
    nets = true_nets()
    first = next(iter(nets))
    second = next(pin for pin, net in nets.items() if net != nets[first])
    board = replace(board_from_layout(LAYOUT, "lamp"), beeps=(Beep(first=first, second=second, joined=True),))
    dossier = dossier_from_text(HEAD + parts_of_layout(), boards={"boards/lamp.json": board_text(board)})
    found = [one for one in analyse(dossier).findings if one.name == "beep contradicts board"]
    assert len(found) == 1
    assert "joined by continuity beep, and the traced copper says otherwise" in found[0].what


def test_copper_that_was_found_before_parts_were_placed_is_told() -> None:
    texts = {"dossier.toml": HEAD + parts_of_layout(), "boards/lamp.json": PERFECT}
    moved = apply(texts, Unplace(board="lamp", reference=LAYOUT.bodies[0].reference)).documents
    for state, count in ((texts, 0), (moved, 1)):
        dossier = dossier_from_text(
            state["dossier.toml"], boards={"boards/lamp.json": state["boards/lamp.json"]}
        )
        found = [one for one in board_findings(dossier) if one.name == "copper to be found again"]
        assert count == len(found)
    assert "before parts were placed, moved or taken off: until it is found again" in found[0].what
    assert "lidoff trace DIR --board lamp" in found[0].remedy


def test_a_distance_without_figures_is_measured_on_the_board() -> None:
    one, other = sorted(set(true_nets().values()))[:2]
    text = HEAD + parts_of_layout() + f'[distances.gap]\nbetween = ["{one}", "{other}"]\nboard = "lamp"\n'
    text += 'working_voltage = "5 V"\n'
    told = analyse(dossier_from_text(text, boards={"boards/lamp.json": PERFECT})).hazards
    assert any("gap" in str(one) for one in told)


def test_a_part_without_pins_and_without_a_board_is_refused() -> None:
    with pytest.raises(DossierError, match="has no pins"):
        dossier_from_text(HEAD + parts_of_layout(board=False))


def test_a_board_whose_file_is_no_json_is_named() -> None:
    with pytest.raises(DossierError, match="no JSON") as caught:
        dossier_from_text(HEAD, boards={"boards/lamp.json": "{"})
    assert caught.value.where == "boards/lamp.json"


def test_a_board_that_calls_itself_otherwise_than_its_file_is_refused() -> None:
    with pytest.raises(DossierError, match="calls itself 'lamp'"):
        dossier_from_text(HEAD, boards={"boards/other.json": PERFECT})


def test_an_unknown_board_is_not_traced(traced_folder: Path) -> None:
    with pytest.raises(UnknownName, match="no board 'lam'"):
        trace_dossier(traced_folder, board="lam")


def unscaled(folder: Path, board: str = "", hand: str = "") -> LidoffError:
    """What stops the tracing of a board whose photo is not there."""
    photo = '[[photos]]\nfile = "photos/front.jpg"\nboard = "main"\nside = "front"\n'
    (folder / "dossier.toml").write_text(
        f'format = 2\n[device]\ntitle = "a lamp"\n[boards.main]\n{board}\n{photo}'
    )
    (folder / "hand.toml").write_text(hand)
    with pytest.raises(LidoffError) as caught:
        trace_dossier(folder, by_hand=folder / "hand.toml" if hand else None)
    return caught.value


def test_a_board_without_any_length_is_refused_before_its_photos_are_read(tmp_path: Path) -> None:
    error = unscaled(tmp_path)
    assert ("the board has no scale yet", "dossier.toml, boards.main") == (error.what, error.where)
    assert 'width = "38 mm"' in error.remedy


def test_a_length_of_nothing_is_refused_before_the_photos_are_read(tmp_path: Path) -> None:
    assert "board size 0.0 × None mm" == unscaled(tmp_path, board='width = "0 mm"').what


@pytest.mark.parametrize(
    ("board", "hand"),
    [
        ('width = "38 mm"', ""),
        ('height = "20 mm"', ""),
        ("", "[front.ruler]\npoints_px = [[0, 0], [100, 0]]\nstep_mm = 10\n"),
        ("", "outline_mm = [[0, 0], [38, 0], [38, 20], [0, 20]]\n"),
    ],
    ids=["width", "height", "ruler", "outline"],
)
def test_any_known_length_lets_the_photos_be_read(tmp_path: Path, board: str, hand: str) -> None:
    assert isinstance(unscaled(tmp_path, board, hand), PhotoRefused)
