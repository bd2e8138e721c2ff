"""The web page: well formed, whole without the network, open to everyone, and deaf to hostile texts."""

import re
from collections import Counter
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path

import pytest

from lidoff.report import board_views, html_of, pages_of, pdf_of
from tests.report.boards import write_board
from tests.report.build import bare, fan, fan_pages, hostile

VOID = {"meta", "link", "br", "hr", "img", "input"}


class Page(HTMLParser):
    """Elements of a page with their attributes, and the text of each kind of element."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text: dict[str, list[str]] = {}
        self.misnested: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            self.misnested.append(tag)
        else:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        for tag in set(self.open):
            self.text.setdefault(tag, []).append(data)

    def named(self, tag: str) -> list[dict[str, str | None]]:
        return [attributes for name, attributes in self.elements if name == tag]

    def said(self, tag: str) -> str:
        return " ".join("".join(self.text.get(tag, ())).replace("\xa0", " ").split())


@cache
def fan_html() -> str:
    return html_of(fan_pages())


@cache
def page() -> Page:
    return Page(fan_html())


@cache
def hostile_page() -> Page:
    return Page(html_of(pages_of(hostile())))


def test_every_element_is_closed_in_its_turn() -> None:
    assert ([], []) == (page().misnested, page().open)


def test_headings_go_down_one_level_at_a_time() -> None:
    levels = [int(tag[1]) for tag, _ in page().elements if re.fullmatch("h[1-6]", tag)]
    assert (1, 1) == (levels[0], levels.count(1))
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_table_has_a_caption_and_scoped_headings() -> None:
    tables = len(page().named("table"))
    assert tables == len(page().named("caption"))
    assert {"col", "row"} == {heading.get("scope") for heading in page().named("th")}


def test_every_picture_is_told_in_words() -> None:
    schematics = [svg for svg in page().named("svg") if svg.get("role") == "img"]
    labels = {attributes.get("id") for _, attributes in page().elements}
    assert schematics
    assert all(svg["aria-labelledby"] in labels for svg in schematics)
    charts = [div for div in page().named("div") if div.get("class", "").startswith("chart")]  # type: ignore[union-attr]
    assert charts
    assert all(div.get("role") == "img" and div.get("aria-label") for div in charts)


def test_no_id_stands_twice() -> None:
    ids = Counter(attributes["id"] for _, attributes in page().elements if "id" in attributes)
    assert {} == {name: count for name, count in ids.items() if count > 1}


@pytest.mark.parametrize("which", ["fan", "hostile"])
def test_every_link_leads_to_a_place_in_the_page(which: str) -> None:
    shown = page() if which == "fan" else hostile_page()
    ids = {attributes["id"] for _, attributes in shown.elements if "id" in attributes}
    targets = [link["href"] for link in shown.named("a")]
    assert targets
    assert [] == [target for target in targets if not target or target[0] != "#" or target[1:] not in ids]


@pytest.mark.parametrize("which", ["fan", "hostile"])
def test_nothing_is_fetched(which: str) -> None:
    shown = page() if which == "fan" else hostile_page()
    fetching = {"src", "srcset", "data", "poster", "action", "background", "xlink:href", "formaction"}
    assert [] == [(tag, sorted(fetching & set(a))) for tag, a in shown.elements if fetching & set(a)]
    assert [] == shown.named("link")
    css = "".join(shown.text["style"])
    assert [] == re.findall(r"@import|url\((?!\"data:font)", css)


def test_the_page_is_small_enough_to_send() -> None:
    assert len(fan_html().encode()) < 2_000_000


def test_parts_and_nets_can_be_found_in_schematic_and_tables() -> None:
    where = Counter(tag for tag, attributes in page().elements if attributes.get("data-part") == "Q1")
    assert where["g"] >= 1
    assert where["th"] >= 2
    assert Counter(tag for tag, a in page().elements if a.get("data-net") == "gate")["g"] >= 1


def test_light_and_dark_paper_and_phone_are_provided_for() -> None:
    css = "".join(page().text["style"])
    for query in ("prefers-color-scheme: dark", "@media print", "max-width: 46rem", "prefers-reduced-motion"):
        assert query in css


def _luminance(colour: str) -> float:
    channels = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def _contrast(one: str, other: str) -> float:
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_by_hand_agrees_with_black_on_white() -> None:
    assert 21.0 == pytest.approx(_contrast("#000000", "#ffffff"))  # WCAG 2.2, definition of contrast ratio


TEXTS = ("ink", "quiet", "borne-out", "not-borne-out", "open")


@pytest.mark.parametrize(
    ("colour", "ground"),
    [
        *((colour, ground) for colour in TEXTS for ground in ("paper", "raised", "lit")),
        *((colour, "paper") for colour in ("amber-ink", "supply", "slate")),
    ],
)
def test_text_stands_out_from_its_ground(colour: str, ground: str) -> None:
    css = "".join(page().text["style"])
    blocks = re.findall(r":root \{([^}]*--paper[^}]*)\}", css)
    assert 3 == len(blocks)  # light, dark, print
    for block in blocks:
        colours = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{3,6})", block))
        if ground in colours:
            pair = [
                value if len(value) == 7 else f"#{value[1:] * 2}"
                for value in (colours[colour], colours[ground])
            ]
            assert _contrast(*pair) >= 4.5  # WCAG 2.2, success criterion 1.4.3


def test_an_invented_device_says_so_before_all_else() -> None:
    said = page().said("header")
    assert "Invented demonstration. This fan, its maker, its box and every figure are made up." in said


def test_a_real_device_bears_no_banner() -> None:
    assert "Invented" not in Page(html_of(pages_of(bare()))).said("body")


def test_hostile_texts_make_no_elements() -> None:
    assert [] == hostile_page().misnested
    assert 1 == len(hostile_page().named("script"))
    assert [] == hostile_page().named("img")
    assert [] == [(tag, a) for tag, a in hostile_page().elements if any(name.startswith("on") for name in a)]


def test_hostile_texts_are_read_as_they_are_written() -> None:
    said = hostile_page().said("body")
    for text in (
        "</title><svg onload=alert(5)>",
        "<img onerror>",
        "#eval",
        "$x$ <net>",
        "]#text(red)[ ]]> --> </style>",
    ):
        assert text in said


def test_a_schematics_style_stays_with_its_drawing() -> None:
    styles = [text for text in page().text["style"] if ".at-figure-" in text]
    assert styles
    for style in styles:
        selectors = [one.strip() for rule in re.findall(r"([^{}]+)\{", style) for one in rule.split(",")]
        assert [] == [one for one in selectors if not one.startswith(".at-figure-")]


def test_equal_pages_give_equal_bytes() -> None:
    assert html_of(pages_of(fan())) == html_of(pages_of(fan()))


def test_no_page_calls_anything_safe() -> None:
    assert [] == re.findall(r"(?i)\b(?:un)?safe\b", page().said("body"))


def test_a_board_shares_its_names_with_the_schematic_and_the_tables(tmp_path: Path) -> None:
    write_board(tmp_path)
    pages = pages_of(fan(), board_views(tmp_path, {"main": "the only board"}))
    html = html_of(pages)
    start = html.index('<section id="boards"')
    chapter = html[start : html.index("</section>", start)]
    assert 2 == chapter.count("<figure")
    assert {"R1", "R2"} <= set(re.findall(r'data-part="([^"]+)"', chapter))
    assert {"plus", "tap", "gnd"} <= set(re.findall(r'class="copper" data-net="([^"]+)"', chapter))
    assert {"R1", "R2"} <= set(
        re.findall(r'data-part="([^"]+)"', html[:start] + html[start + len(chapter) :])
    )


def test_without_a_folder_there_is_no_chapter_on_boards() -> None:
    assert "boards" not in [section.name for section in fan_pages().sections]


def test_a_board_goes_on_paper_too(tmp_path: Path) -> None:
    write_board(tmp_path)
    assert pdf_of(pages_of(fan(), board_views(tmp_path, {}))).startswith(b"%PDF")
