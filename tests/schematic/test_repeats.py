"""Repeats are found by graph equality, and the pairing that is shown proves it."""

from __future__ import annotations

from dataclasses import replace

from shapely import box as box_of
from shapely.geometry import Polygon

from lidoff.circuit import Circuit
from lidoff.schematic import DrawingOptions, Repeat, Wire, draw
from lidoff.schematic.frames import repeat_frames
from tests.schematic.gadgets import GADGETS
from tests.schematic.pieces import box, circuit, led, nmos, resistor, supply


def _only(drawing_of: Circuit, **options: object) -> tuple[Repeat, ...]:
    return draw(drawing_of, options=DrawingOptions(effort=0.0, **options)).repeats  # type: ignore[arg-type]


def _is_laid_on(circuit_: Circuit, first: tuple[str, ...], second: tuple[str, ...]) -> bool:
    """Independent check: equal kinds and values, and nets that correspond one to one."""
    nets: dict[str, str] = {}
    for a, b in zip(first, second, strict=True):
        p, q = circuit_.part(a), circuit_.part(b)
        if p.kind != q.kind or p.values != q.values or set(p.pins) != set(q.pins):
            return False
        for pin in p.pins:
            if nets.setdefault(p.pins[pin], q.pins[pin]) != q.pins[pin]:
                return False
    return len(set(nets.values())) == len(nets)


def test_parallel_strings_are_drawn_once() -> None:
    (repeat,) = _only(GADGETS["strings_apart"])

    assert {"R1", "D1", "D2", "D3"} == set(repeat.drawn)
    assert len(repeat.instances) == 3
    assert all(_is_laid_on(GADGETS["strings_apart"], repeat.drawn, other) for other in repeat.instances)


def test_groups_round_distinct_controller_pins_are_drawn_once() -> None:
    given = GADGETS["six_channels"]
    drawing = draw(given, options=DrawingOptions(effort=0.0))
    (repeat,) = drawing.repeats

    assert {"R1", "R11", "Q1", "D1", "R21"} == set(repeat.drawn)
    assert len(repeat.instances) == 6
    assert [row["U1 PB1"] for row in repeat.nets] == [f"PB{k}" for k in range(1, 7)]
    assert all(_is_laid_on(given, repeat.drawn, other) for other in repeat.instances)
    assert set(drawing.shown.part("U1").pins) == {"1", "2", "3", "10"}


def test_two_of_a_kind_are_drawn_out() -> None:
    assert _only(GADGETS["two_strings"]) == ()


def test_a_different_value_keeps_a_branch_apart() -> None:
    parts = [resistor(f"R{k}", f"v a{k}", 100.0 if k < 4 else 220.0) for k in range(1, 5)]
    leds = [led(f"D{k}", f"a{k} gnd") for k in range(1, 5)]
    (repeat,) = _only(circuit("four", supply("V1", "v gnd", 5.0), *parts, *leds))

    assert len(repeat.instances) == 3
    assert not any("R4" in instance for instance in repeat.instances)


def test_similar_values_may_count_and_then_stand_in_the_table() -> None:
    parts = [resistor(f"R{k}", f"v a{k}", 100.0 * k) for k in range(1, 4)]
    leds = [led(f"D{k}", f"a{k} gnd") for k in range(1, 4)]
    given = circuit("three", supply("V1", "v gnd", 5.0), *parts, *leds)

    assert _only(given) == ()
    (repeat,) = _only(given, similar_values=True)
    assert [dict(row) for row in repeat.values] == [{}, {"R2": "200 Ω"}, {"R3": "300 Ω"}]


def test_a_ring_is_not_a_repeat() -> None:
    ring = [resistor(f"R{k}", f"n{k} n{(k + 1) % 6}", 1e3) for k in range(6)]

    assert _only(Circuit(parts=tuple(ring), ground="")) == ()


def test_groups_that_only_look_alike_are_kept_apart() -> None:
    # both controllers' channels have the same parts, but one gate resistor of the fourth hangs on its neighbour's gate
    channels = [
        part
        for k in range(1, 5)
        for part in (
            resistor(f"R{k}", f"p{k} g{1 if k == 4 else k}", 100.0),
            nmos(f"Q{k}", f"g{k} k{k} gnd"),
            led(f"D{k}", f"v k{k}"),
        )
    ]
    brain = box(
        "U1", "1:V:supply:v 2:G:ground:gnd " + " ".join(f"{k + 2}:P{k}:output:p{k}" for k in range(1, 5))
    )
    repeats = _only(circuit("odd", supply("V1", "v gnd", 5.0), brain, *channels), least_repeats=2)

    drawn_for = {
        r for repeat in repeats for instance in repeat.instances for r in instance if len(repeat.drawn) > 2
    }
    assert not drawn_for & {"R1", "R4", "Q1"}


def test_a_part_kept_apart_is_drawn() -> None:
    (repeat,) = _only(GADGETS["insect_lure"], keep_apart=("R3",))

    assert len(repeat.instances) == 4


def test_a_run_in_series_is_drawn_as_one() -> None:
    drawing = draw(GADGETS["capacitor_lamp"], options=DrawingOptions(effort=0.0))
    run = next(repeat for repeat in drawing.repeats if repeat.series)

    assert [f"D{k}" for k in range(10, 20)] == [r for (r,) in run.instances]
    texts = {label.text for label in drawing.sheets[0].labels}
    assert {"D10…D19", "10 in series"} <= texts


def test_the_table_lists_every_part_that_is_not_drawn() -> None:
    given = GADGETS["six_channels"]
    drawing = draw(given, options=DrawingOptions(effort=0.0))
    told = {label.text for label in drawing.sheets[0].labels}
    for first, last in (text.split("…") for text in list(told) if "…" in text):
        letters = first.rstrip("0123456789")
        ends = (int(one.removeprefix(letters)) for one in (first, last))
        told |= {f"{letters}{k}" for k in range(next(ends), next(ends) + 1)}

    assert {part.reference for part in given.parts} <= told


def test_references_that_count_up_take_one_line_of_the_table() -> None:
    parts = [resistor(f"R{k}", f"v a{k}", 100.0) for k in range(1, 13)]
    leds = [led(f"D{k}", f"a{k} gnd") for k in range(1, 13)]
    drawing = draw(
        circuit("twelve", supply("V1", "v gnd", 5.0), *parts, *leds), options=DrawingOptions(effort=0.0)
    )
    told = [label.text for label in drawing.sheets[0].labels if label.role == "table"]

    assert ["D1", "D2…D12", "R1", "R2…R12", "drawn", "stands for"] == sorted(told)


def test_what_a_group_has_of_its_own_keeps_its_line_of_the_table() -> None:
    parts = [resistor(f"R{k}", f"v a{k}", 100.0 * k) for k in range(1, 5)]
    leds = [led(f"D{k}", f"a{k} gnd") for k in range(1, 5)]
    given = circuit("four", supply("V1", "v gnd", 5.0), *parts, *leds)
    drawing = draw(given, options=DrawingOptions(effort=0.0, similar_values=True))
    told = {label.text for label in drawing.sheets[0].labels if label.role == "table"}

    assert {"R2 200 Ω", "R3 300 Ω", "R4 400 Ω"} <= told


def test_nothing_is_gathered_when_switched_off() -> None:
    drawing = draw(GADGETS["strings_apart"], options=DrawingOptions(abbreviate=False, effort=0.0))

    assert len(drawing.shown.parts) == len(GADGETS["strings_apart"].parts)


def test_one_frame_holds_a_group_that_a_stranger_stands_between() -> None:
    parts = [resistor(f"R{k}", f"v a{k}", 100.0) for k in range(1, 4)]
    leds = [led(f"D{k}", f"a{k} gnd") for k in range(1, 4)]
    drawing = draw(
        circuit("three", supply("V1", "v gnd", 5.0), *parts, *leds), options=DrawingOptions(effort=0.0)
    )
    by_name = {symbol.reference: symbol for symbol in drawing.sheets[0].symbols}
    upper = replace(by_name["R1"], x=0, y=0)
    lower = replace(by_name["D1"], x=20, y=20)
    (start,) = [(upper.x + p.x, upper.y + p.y) for p in upper.shape.leads if p.net == "a1"]
    (end,) = [(lower.x + p.x, lower.y + p.y) for p in lower.shape.leads if p.net == "a1"]
    wires = (
        Wire(net="a1", x0=start[0], y0=start[1], x1=end[0], y1=start[1]),
        Wire(net="a1", x0=end[0], y0=start[1], x1=end[0], y1=end[1]),
    )
    stranger = replace(by_name["V1"], x=8, y=14)

    (frame,) = repeat_frames(drawing.repeats, (upper, lower, stranger), wires)
    (ring,) = frame.rings
    assert {"R1", "D1"} == set(frame.parts)
    assert not Polygon(ring).intersects(box_of(*stranger.body))
    assert Polygon(ring).contains(box_of(*upper.body))
    assert Polygon(ring).contains(box_of(*lower.body))


def test_parts_whose_way_to_each_other_a_stranger_blocks_have_a_frame_each() -> None:
    parts = [resistor(f"R{k}", f"v a{k}", 100.0) for k in range(1, 4)]
    leds = [led(f"D{k}", f"a{k} gnd") for k in range(1, 4)]
    drawing = draw(
        circuit("three", supply("V1", "v gnd", 5.0), *parts, *leds), options=DrawingOptions(effort=0.0)
    )
    by_name = {symbol.reference: symbol for symbol in drawing.sheets[0].symbols}
    upper, lower = replace(by_name["R1"], x=0, y=0), replace(by_name["D1"], x=20, y=20)
    stranger = replace(by_name["V1"], x=10, y=10)

    frames = repeat_frames(drawing.repeats, (upper, lower, stranger), ())
    assert [("D1",), ("R1",)] == sorted(frame.parts for frame in frames)
