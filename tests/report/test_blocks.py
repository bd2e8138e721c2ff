"""How the circuit works, block by block: words, sums and pieces of the schematic."""

import re

from lidoff.insight import Block, Sum
from lidoff.quantities import Quantity
from lidoff.report import Workings, html_of, pages_of
from lidoff.report.excerpt import excerpt_of
from lidoff.report.sections.blocks import block_title, worked_sum
from lidoff.report.sections.schematic import drawing_of
from lidoff.report.worked import formula_runs
from tests.report.build import fan, fan_pages, section_of


def workings() -> Workings:
    return next(block for block in section_of(fan_pages(), "blocks").blocks if isinstance(block, Workings))


def test_every_recognised_part_is_told_once() -> None:
    told = [text for entry in workings().entries for text, _ in entry.links]
    alike = {part for block in fan().blocks for part in block.parts}
    assert told
    assert len(told) == len(set(told))
    assert set(told) <= alike


def test_blocks_that_are_alike_are_told_together() -> None:
    one = Block(kind="x", title="LED string", roles={}, nets={}, parts=("D1", "R1"), purpose="")
    other = Block(kind="x", title="LED string", roles={}, nets={}, parts=("D2", "R2"), purpose="")
    assert block_title([one]) == "LED string: D1 and R1"
    assert block_title([one, other]) == "LED string: D1 and R1, two times alike"


def test_a_sum_keeps_its_letters_its_numbers_and_its_result() -> None:
    one = Sum(
        says="LED current",
        formula="(V − V_F) ÷ R",
        numbers="(5 V − 2 V) ÷ 1 kΩ",
        result=Quantity(3e-3, "A", 5e-5),
        letters={},
        source="Ohm's law",
    )
    told = worked_sum(fan(), one)
    assert told.says == "LED current"
    assert told.formula == formula_runs("(V − V_F) ÷ R")
    assert told.result == "3.00 mA ± 0.10 mA"


def test_what_is_lowered_and_raised_is_told_apart() -> None:
    assert [(run.text, run.place) for run in formula_runs("√(2) · U^2 ÷ V_LED1")] == [
        ("√(2) · U", ""), ("2", "raised"), (" ÷ V", ""), ("LED1", "lowered"),
    ]  # fmt: skip


def test_a_piece_holds_its_parts_alone_and_its_wires_stay_inside() -> None:
    drawing = drawing_of(fan())
    shown = 0
    for block in fan().blocks:
        piece = excerpt_of(drawing, block.parts)
        if piece is None:
            continue
        shown += 1
        (sheet,) = piece.sheets
        left, top, right, bottom = sheet.box
        assert {symbol.reference for symbol in sheet.symbols} == set(block.parts)
        assert all(left <= x <= right for wire in sheet.wires for x in (wire.x0, wire.x1))
        assert all(top <= y <= bottom for wire in sheet.wires for y in (wire.y0, wire.y1))
        assert all(left <= label.box[0] and label.box[2] <= right for label in sheet.labels)
    assert shown


def test_no_piece_is_cut_where_a_part_is_not_drawn() -> None:
    assert excerpt_of(drawing_of(fan()), ("NOT THERE",)) is None
    assert excerpt_of(drawing_of(fan()), ()) is None


def test_ids_of_all_pieces_on_the_page_differ() -> None:
    ids = re.findall(r'\bid="([^"]+)"', html_of(pages_of(fan())))
    assert len(ids) == len(set(ids))


def test_every_lead_of_a_piece_hangs_on_something_or_bears_its_nets_name() -> None:
    drawing = drawing_of(fan())
    for block in fan().blocks:
        piece = excerpt_of(drawing, block.parts)
        if piece is None:
            continue
        (sheet,) = piece.sheets
        ends = {(wire.net, x, y) for wire in sheet.wires for x, y in ((wire.x0, wire.y0), (wire.x1, wire.y1))}
        ends |= {(mark.net, mark.x, mark.y) for mark in sheet.marks}
        named = {label.owner for label in sheet.labels if label.role == "net"}
        leads = [
            (lead.net, symbol.x + lead.x, symbol.y + lead.y)
            for symbol in sheet.symbols
            for lead in symbol.shape.leads
        ]
        assert [] == [
            one for one in leads if one not in ends and leads.count(one) == 1 and one[0] not in named
        ]
