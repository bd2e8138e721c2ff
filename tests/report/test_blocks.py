"""How the circuit works, block by block: words, sums and pieces of the schematic."""

import re
from pathlib import Path

import pytest

import lidoff.report
from lidoff.insight import Block, Sum, told_once
from lidoff.quantities import Quantity
from lidoff.report import Workings, html_of, pages_of
from lidoff.report.sections import blocks
from lidoff.report.sections.blocks import WIDEST, block_drawing, block_title, worked_sum
from lidoff.report.worked import formula_runs
from lidoff.schematic import Drawing
from tests.report.build import fan, fan_pages, section_of

PAPER = Path(lidoff.report.__file__).parent / "templates" / "paper.typ"


def drawn(block: Block) -> Drawing:
    drawing = block_drawing(fan(), block.parts)
    assert drawing is not None
    return drawing


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


def test_every_block_is_drawn_by_itself_and_no_larger_than_a_page() -> None:
    for entry, group in zip(workings().entries, told_once(fan().blocks), strict=True):
        assert entry.picture is not None, group[0].parts
        assert entry.picture.width <= 10.0 * WIDEST + 40.0


def test_a_block_too_large_for_a_page_is_told_in_words(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(blocks, "WIDEST", 1.0)
    block_drawing.cache_clear()
    assert block_drawing(fan(), fan().blocks[0].parts) is None
    block_drawing.cache_clear()


def test_letters_of_a_block_have_seven_points_on_paper() -> None:
    scale = float(re.findall(r"it\.picture\.width \* ([\d.]+)pt, room", PAPER.read_text(encoding="utf-8"))[0])
    sizes = [label.size for block in fan().blocks for label in drawn(block).sheets[0].labels]
    assert 10.0 * scale * min(sizes) >= 7.0


def test_ids_of_all_pieces_on_the_page_differ() -> None:
    ids = re.findall(r'\bid="([^"]+)"', html_of(pages_of(fan())))
    assert len(ids) == len(set(ids))
