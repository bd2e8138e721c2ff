"""The same circuit gives the same drawing; what a person pins or has seen stays; text is escaped; files are written."""

from __future__ import annotations

import math
import random
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest

from lidoff.circuit import Circuit, Part, operating_point
from lidoff.errors import ImpossibleValue, OutputRefused, UnknownName
from lidoff.schematic import Drawing, DrawingOptions, Group, Pinned, draw, drawing_quality
from lidoff.schematic.shapes import Turn
from tests.schematic.faults import faults_of
from tests.schematic.gallery import GALLERY
from tests.schematic.pieces import circuit, led, resistor, supply

SVG = "{http://www.w3.org/2000/svg}"
LED = GALLERY["one_led"]


def _places(drawing: Drawing) -> dict[str, tuple[int, int]]:
    return {s.reference: (s.x, s.y) for sheet in drawing.sheets for s in sheet.symbols}


def _moved(before: Drawing, after: Drawing) -> int:
    """Parts that changed places with respect to most others."""
    old, new = _places(before), _places(after)
    shifts = [(new[r][0] - old[r][0], new[r][1] - old[r][1]) for r in old if r in new]
    usual = max(set(shifts), key=shifts.count)
    return sum(shift != usual for shift in shifts)


def test_the_order_of_the_parts_changes_nothing() -> None:
    given = GALLERY["common_emitter"]
    parts = list(given.parts)
    random.Random(7).shuffle(parts)

    assert draw(replace(given, parts=tuple(parts))).to_svg() == draw(given).to_svg().replace(
        _description(draw(given)), _description(draw(replace(given, parts=tuple(parts))))
    )


def _description(drawing: Drawing) -> str:
    found = ET.fromstring(drawing.to_svg()).find(f"{SVG}desc")
    assert found is not None
    assert found.text is not None
    return found.text


def test_drawing_twice_gives_the_same_bytes() -> None:
    assert draw(GALLERY["night_light"]).to_svg() == draw(GALLERY["night_light"]).to_svg()


def test_a_new_part_leaves_the_others_where_they_stood() -> None:
    given = GALLERY["crumb_vacuum"]
    before = draw(given)
    more = given.with_parts([resistor("R9", "bat lc", 1e3), led("D9", "lc gnd")])

    after = draw(more, before=before)

    assert _moved(before, after) == 0
    assert drawing_quality(after).symbol_overlaps == 0
    assert {"R9", "D9"} <= set(_places(after))


def test_a_pinned_part_stands_where_it_was_put() -> None:
    pinned = {"R1": Pinned(x=0, y=0), "D1": Pinned(x=12, y=6)}

    places = _places(draw(LED, options=DrawingOptions(pinned=pinned)))

    assert (places["R1"], places["D1"]) == ((0, 0), (12, 6))


def test_moving_one_part_by_hand_leaves_the_others_where_they_stood() -> None:
    given = GALLERY["crumb_vacuum"]
    before = draw(given)
    x, y = _places(before)["R1"]
    away = DrawingOptions(pinned={"R1": Pinned(x=x + 6, y=y + 40)})

    after = draw(given, options=away, before=before)

    assert _places(after)["R1"] == (x + 6, y + 40)
    assert {r for r, place in _places(after).items() if place != _places(before)[r]} == {"R1"}
    assert faults_of(drawing_quality(after)) == {}


def test_what_stands_where_a_part_is_put_by_hand_makes_room() -> None:
    given = GALLERY["crumb_vacuum"]
    before = draw(given)
    onto = next(
        s
        for sheet in before.sheets
        for s in sheet.symbols
        if s.reference != "R1" and s.outline.name == "resistor"
    )

    after = draw(given, options=DrawingOptions(pinned={"R1": Pinned(x=onto.x, y=onto.y)}), before=before)

    assert _places(after)["R1"] == (onto.x, onto.y)
    assert _places(after)[onto.reference] != (onto.x, onto.y)
    assert drawing_quality(after).symbol_overlaps == 0


def test_a_part_may_be_turned_and_mirrored_by_hand() -> None:
    pinned = {"D1": Pinned(x=5, y=-4, quarter_turns=3, mirrored=True)}

    symbols = {s.reference: s for s in draw(LED, options=DrawingOptions(pinned=pinned)).sheets[0].symbols}

    assert symbols["D1"].shape.turn == Turn(3, True)
    assert (symbols["D1"].x, symbols["D1"].y) == (5, -4)


@pytest.mark.parametrize(("x", "turns"), [(100_000, 0), (0, 4)])
def test_a_part_cannot_be_put_off_the_page_or_askew(x: int, turns: int) -> None:
    with pytest.raises(ImpossibleValue):
        Pinned(x=x, y=0, quarter_turns=turns)


def test_the_layout_does_not_depend_on_the_solution() -> None:
    solved = operating_point(LED).at(0)

    assert _places(draw(LED)) == _places(draw(LED, solved))


def test_solved_voltages_stand_at_the_nets() -> None:
    drawing = draw(LED, operating_point(LED).at(0))
    texts = {label.owner: label.text for label in drawing.sheets[0].labels if label.role == "voltage"}

    assert texts["vcc"] == "5 V"
    assert texts["gnd"] == "0 V"
    assert set(texts) == {"vcc", "gnd", "a"}


def test_currents_stand_at_the_parts_when_asked_for() -> None:
    drawing = draw(LED, operating_point(LED).at(0), options=DrawingOptions(currents=True))
    texts = [label.text for label in drawing.sheets[0].labels if label.owner == "R1"]

    assert texts[-1].endswith("mA")


def test_what_is_not_a_number_is_not_written() -> None:
    class Unsolved:
        def voltage(self, net: str) -> float:  # noqa: ARG002
            return math.nan

        def current(self, reference: str) -> float:  # noqa: ARG002
            return math.nan

    assert draw(LED).to_svg() == draw(LED, Unsolved()).to_svg()


def test_every_part_and_net_has_a_stable_id_and_a_title() -> None:
    root = ET.fromstring(draw(LED).to_svg())
    ids = {element.get("id") for element in root.iter() if element.get("id")}

    assert {"part-V1", "part-R1", "part-D1", "net-vcc", "net-a", "net-gnd"} <= ids
    title = root.find(f".//*[@id='part-R1']/{SVG}title")
    assert title is not None
    assert title.text == "R1: resistor, 270 Ω"


def test_text_of_the_dossier_cannot_become_markup() -> None:
    wicked = Circuit(
        title="<script>alert(1)</script>",
        parts=(
            supply("V1", 'v"c gnd', 5.0),
            Part(reference="R<1>", kind="resistor", pins={"1": 'v"c', "2": "gnd"}, marking="a&b</text><g>"),
        ),
    )

    svg = draw(wicked).to_svg()

    assert "<script>" not in svg
    assert any("a&b</text><g>" in (element.text or "") for element in ET.fromstring(svg).iter())


def test_text_stays_text() -> None:
    root = ET.fromstring(draw(LED).to_svg())

    assert {"R1", "270 Ω", "D1", "V1"} <= {element.text for element in root.iter(f"{SVG}text")}


@pytest.mark.parametrize(
    ("theme", "paper"), [("light", "#faf7f0"), ("dark", "#17191c"), ("print", "#ffffff")]
)
def test_a_theme_has_its_paper(theme: str, paper: str) -> None:
    assert f".paper{{fill:{paper}}}" in draw(LED).to_svg(theme=theme)


def test_an_unknown_theme_is_refused_with_the_known_ones() -> None:
    with pytest.raises(UnknownName, match=r"there is no theme 'sepia'.*dark, light, print"):
        draw(LED).to_svg(theme="sepia")


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(UnknownName, match="R1: unknown kind 'resistr'"):
        draw(Circuit(parts=(Part(reference="R1", kind="resistr", pins={"1": "a", "2": "b"}),)))


def test_a_sheet_that_is_not_there_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="there is no sheet 3; ask for 0 to 0"):
        draw(LED).to_svg(sheet=3)


def test_a_circuit_without_parts_gives_an_empty_page() -> None:
    assert ET.fromstring(draw(Circuit(parts=())).to_svg()).tag == f"{SVG}svg"


def test_highlighting_dims_the_rest() -> None:
    svg = draw(LED, options=DrawingOptions(highlight_nets=("a",), highlight_parts=("R1",))).to_svg()
    root = ET.fromstring(svg)

    classes = {e.get("id"): e.get("class", "none").split()[-1] for e in root.iter() if e.get("id")}
    assert (classes["part-R1"], classes["part-D1"]) == ("lit", "dim")
    assert (classes["net-a"], classes["net-vcc"]) == ("lit", "dim")


def test_a_group_gets_a_ground_and_a_caption() -> None:
    drawing = draw(LED, groups=(Group(parts=("R1", "D1"), caption="Indicator", tint="#1f8a8a"),))

    assert [area.caption for area in drawing.sheets[0].areas] == ["Indicator"]
    assert "fill:#1f8a8a" in drawing.to_svg()


def test_a_tint_that_is_no_colour_is_left_out() -> None:
    drawing = draw(LED, groups=(Group(parts=("R1",), tint="red;}</style>"),))

    assert "red;}" not in drawing.to_svg()


def test_the_voltage_ramp_colours_wires_from_low_to_high() -> None:
    svg = draw(LED, operating_point(LED).at(0), options=DrawingOptions(voltage_ramp=True)).to_svg()

    assert "stroke:#a8412f" in svg
    assert "stroke:#4a5a6a" in svg


def test_zigzag_resistors_are_an_option() -> None:
    assert draw(LED).to_svg() != draw(LED, options=DrawingOptions(zigzag_resistors=True)).to_svg()


def test_a_notebook_is_shown_the_svg() -> None:
    assert LED._repr_svg_() == draw(LED)._repr_svg_() == draw(LED).to_svg()


def test_png_has_the_width_asked_for(tmp_path: Path) -> None:
    from PIL import Image

    draw(LED).to_png(tmp_path / "led.png", width=640)

    with Image.open(tmp_path / "led.png") as picture:
        assert picture.width == 640


def test_pdf_has_a_page_for_each_sheet(tmp_path: Path) -> None:
    from pypdf import PdfReader

    drawing = draw(GALLERY["common_emitter"], options=DrawingOptions(parts_a_sheet=6, effort=0.0))
    drawing.to_pdf(tmp_path / "stage.pdf")

    assert len(PdfReader(tmp_path / "stage.pdf").pages) == len(drawing.sheets) == 2


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    with pytest.raises(OutputRefused, match="cannot be written"):
        draw(LED).to_png(tmp_path / "no" / "led.png")


def test_a_senseless_width_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ImpossibleValue, match="a width of 3 pixels"):
        draw(LED).to_png(tmp_path / "led.png", width=3)


def test_nets_that_leave_a_sheet_end_in_named_labels() -> None:
    drawing = draw(
        circuit(
            "chain",
            supply("V1", "a gnd", 5.0),
            *(resistor(f"R{k}", f"n{k} n{k + 1}", 1e3) for k in range(12)),
        ),
        options=DrawingOptions(parts_a_sheet=7, effort=0.0, abbreviate=False),
    )
    labels = [{mark.net for mark in sheet.marks if mark.role == "label"} for sheet in drawing.sheets]

    assert labels[0] & labels[1]


def test_parts_that_are_not_wired_yet_are_drawn() -> None:
    unwired = [Part(reference=name, kind="resistor", pins={}) for name in ("R7", "R8")]
    half = Part(reference="U9", kind="box", pins={"1": "led"})

    drawing = draw(Circuit(parts=(*LED.parts, *unwired, half)))

    assert {"R7", "R8", "U9"} <= set(_places(drawing))
    assert faults_of(drawing_quality(drawing)) == {}
    assert "R7" in drawing.to_svg()
