"""The PDF: read back as text, tagged, dated by the dossier, equal bytes for equal pages."""

import io
import re
from dataclasses import replace
from functools import cache
from typing import Any

import pypdf
import pytest

from lidoff.report import Figure, Paragraph, Picture, ReportPages, Section, pages_of, pdf_of
from tests.report.build import bare, fan_pages, hostile


@cache
def fan_pdf() -> bytes:
    return pdf_of(fan_pages())


def read(data: bytes) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(data))


def said(data: bytes) -> str:
    text = " ".join(page.extract_text() for page in read(data).pages)
    return " ".join(text.replace("\xa0", " ").split())


@cache
def fan_text() -> str:
    return said(fan_pdf())


@cache
def hostile_text() -> str:
    return said(pdf_of(pages_of(hostile())))


@pytest.mark.parametrize(
    "words",
    [
        "Pocket fan PF-2, opened",
        "Invented demonstration. This fan, its maker, its box and every figure are made up.",
        "3.66 V × 553.3 mA = 2.03 W ± 0.1",
        "cannot tell from these readings",
        "+9.9 u, misfit",
        "91 % of power rating",
        "What was not checked",
        "Local codes",
    ],
)
def test_what_matters_can_be_read_back(words: str) -> None:
    assert words in fan_text()


def test_every_section_is_a_bookmark() -> None:
    tops = [str(entry["/Title"]) for entry in read(fan_pdf()).outline if not isinstance(entry, list)]
    assert [section.title for section in fan_pages().sections] == tops


def test_every_page_bears_its_number() -> None:
    pages = read(fan_pdf()).pages
    assert [] == [
        n for n, page in enumerate(pages, 1) if f"Page {n} of {len(pages)}" not in page.extract_text()
    ]


def test_the_file_is_tagged_for_screen_readers() -> None:
    root: Any = read(fan_pdf()).root_object
    assert ("en", True) == (root["/Lang"], bool(root["/MarkInfo"]["/Marked"]))
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()


def test_every_figure_has_words_for_those_who_do_not_see_it() -> None:
    alts = re.findall(rb"/Alt ?[(<]", _uncompressed(fan_pdf()))
    shown = [b for s in fan_pages().sections for b in s.blocks if isinstance(b, Figure) and not b.folded]
    assert len(shown) <= len(alts)


def _uncompressed(data: bytes) -> bytes:
    """Objects of the file, with the streams that hold others unpacked."""
    writer = pypdf.PdfWriter(clone_from=io.BytesIO(data))
    target = io.BytesIO()
    writer.write(target)
    return target.getvalue()


def test_the_file_is_dated_by_the_dossier() -> None:
    assert "D:20240531" in str(read(fan_pdf()).metadata)


def test_an_undated_dossier_gives_an_undated_file() -> None:
    metadata = read(pdf_of(pages_of(bare()))).metadata
    assert metadata is not None
    assert metadata.creation_date is None or metadata.creation_date.year == 1970


def test_equal_pages_give_equal_bytes() -> None:
    assert fan_pdf() == pdf_of(fan_pages())


@pytest.mark.parametrize(
    "text",
    ["<script>alert(1)</script>", '#eval("1") $x$ *b*', "#panic()", "]#text(red)[ ]]> -->", "$x$ <net>"],
)
def test_hostile_texts_are_printed_as_they_are_written(text: str) -> None:
    assert text in hostile_text()


def test_characters_without_a_shape_are_marked_and_owned_up_to() -> None:
    assert "□□ □" in hostile_text()
    assert "3 characters that the typeface lacks are printed as □; report.html shows them." in hostile_text()


def test_a_report_that_lacks_no_character_says_nothing_of_it() -> None:
    assert "□" not in fan_text()
    assert "typeface lacks" not in fan_text()


def test_many_characters_without_a_shape_are_all_found() -> None:
    letters = "".join(chr(0x4E00 + number) for number in range(40))
    text = said(pdf_of(ReportPages(title="t", sections=(_section(f"a{letters}b"),))))
    assert f"a{'□' * 40}b" in text.replace(" ", "")


def test_an_arrow_that_the_typeface_borrows_is_kept() -> None:
    assert "a → b" in said(pdf_of(ReportPages(title="t", sections=(_section("a → b"),))))


def _section(text: str) -> Section:
    return Section(name="found", title="What we found", blocks=(Paragraph(text=text),))


def test_a_report_without_author_date_or_chapter_can_be_set() -> None:
    assert "only a title" in said(pdf_of(ReportPages(title="only a title")))


def test_a_folded_figure_is_left_to_the_page() -> None:
    assert "with its solved voltages: light alone." in fan_text()
    assert "with its solved voltages: fan on full, light on." not in fan_text()


def test_a_wide_drawing_gets_a_page_on_its_side() -> None:
    drawn = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 2000 800" width="2000" height="800"/>'
    picture = Picture(wide=drawn, paper=drawn, width=2000.0, height=800.0, scrolls=True)
    figure = Figure(name="schematic", caption="A wide one.", alt="a wide drawing", picture=picture)
    section = Section(name="circuit", title="Schematic", blocks=(figure, Paragraph(text="Then on.")))
    boxes = [page.mediabox for page in read(pdf_of(ReportPages(title="t", sections=(section,)))).pages]
    assert [False, True, False] == [box.width > box.height for box in boxes]


def test_another_date_changes_the_file() -> None:
    assert fan_pdf() != pdf_of(replace(fan_pages(), dated=None))


def test_nothing_is_called_safe() -> None:
    assert [] == re.findall(r"(?i)\b(?:un)?safe\b", fan_text())
