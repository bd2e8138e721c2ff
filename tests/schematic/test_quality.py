"""The figures of merit see the faults that they are for."""

from __future__ import annotations

from dataclasses import replace

from lidoff.schematic import Drawing, Wire, draw, drawing_quality
from tests.schematic.gallery import GALLERY


def _with_wires(drawing: Drawing, *wires: Wire) -> Drawing:
    (sheet,) = drawing.sheets
    return replace(drawing, sheets=(replace(sheet, wires=(*sheet.wires, *wires)),))


def _one_led() -> Drawing:
    return draw(GALLERY["one_led"])


def test_a_sound_drawing_has_no_faults() -> None:
    quality = drawing_quality(_one_led())

    assert (0, 0, 0, 0) == (
        quality.symbol_overlaps, quality.wires_through_symbols, quality.label_overlaps, quality.unreached,
    )  # fmt: skip
    assert quality.downward == 1.0


def test_a_wire_through_a_symbol_is_seen() -> None:
    drawing = _one_led()
    r1 = next(s for s in drawing.sheets[0].symbols if s.reference == "R1")
    bad = _with_wires(drawing, Wire("x", r1.x - 3, r1.y, r1.x + 3, r1.y))

    assert drawing_quality(bad).wires_through_symbols == 1


def test_a_crossing_is_seen() -> None:
    drawing = _one_led()
    rail = next(w for w in drawing.sheets[0].wires if w.net == "vcc" and w.y0 == w.y1)
    middle = (rail.x0 + rail.x1) // 2
    bad = _with_wires(drawing, Wire("x", middle, rail.y0 - 2, middle, rail.y0 + 2))

    assert drawing_quality(bad).crossings == 1


def test_a_wire_along_another_is_seen() -> None:
    drawing = _one_led()
    rail = next(w for w in drawing.sheets[0].wires if w.net == "vcc" and w.y0 == w.y1)

    assert drawing_quality(_with_wires(drawing, replace(rail, net="x"))).wires_along_wires >= 1


def test_symbols_on_one_another_are_seen() -> None:
    drawing = _one_led()
    (sheet,) = drawing.sheets
    r1 = next(s for s in sheet.symbols if s.reference == "R1")
    moved = tuple(replace(s, x=r1.x, y=r1.y) if s.reference == "D1" else s for s in sheet.symbols)

    assert drawing_quality(replace(drawing, sheets=(replace(sheet, symbols=moved),))).symbol_overlaps == 1


def test_texts_on_one_another_are_seen() -> None:
    drawing = _one_led()
    (sheet,) = drawing.sheets
    doubled = (*sheet.labels, replace(sheet.labels[0], owner="other"))

    assert drawing_quality(replace(drawing, sheets=(replace(sheet, labels=doubled),))).label_overlaps == 1


def test_a_pin_that_nothing_reaches_is_seen() -> None:
    drawing = _one_led()
    (sheet,) = drawing.sheets
    cut = tuple(w for w in sheet.wires if w.net != "gnd")

    assert drawing_quality(replace(drawing, sheets=(replace(sheet, wires=cut),))).unreached >= 1


def test_four_arms_at_one_point_are_seen() -> None:
    drawing = _one_led()
    rail = next(w for w in drawing.sheets[0].wires if w.net == "vcc" and w.y0 == w.y1)
    middle = (rail.x0 + rail.x1) // 2
    bad = _with_wires(
        drawing,
        Wire("vcc", middle, rail.y0 - 2, middle, rail.y0),
        Wire("vcc", middle, rail.y0, middle, rail.y0 + 2),
    )

    assert drawing_quality(bad).crossroads == 1
