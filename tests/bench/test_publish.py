"""Publishing from the bench: the report, stills, files to take away, files in the folder."""

import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from tests.bench.running import Running, done, running
from tests.dossier.build import lamp_text

LOG = """
[logs.run]
file = "logs/run.csv"
columns = ["time [s]", "I [A]"]
"""
FIXED = (
    "report.html", "report.pdf", "schematic.svg", "schematic.pdf", "schematic.png", "netlist.txt", "analysis.json",
    "claims.csv", "readings.csv", "parts.csv", "nets.csv", "currents.csv", "sums.csv", "hazards.csv", "findings.csv",
    "stills.zip", "dossier.zip", "board-main.ipc", "log-run.svg", "log-run.pdf", "log-run.png",
)  # fmt: skip
BEGINS = {"pdf": b"%PDF", "png": b"\x89PNG", "svg": b"<svg", "zip": b"PK"}


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server of a lamp with a log and a board, that nobody may change anything in."""
    folder = tmp_path_factory.mktemp("full")
    (folder / "logs").mkdir()
    (folder / "logs" / "run.csv").write_text("time [s];I [A]\n0;0.1\n1;0.2\n2;0.3\n", encoding="utf-8")
    with running(folder, lamp_text() + LOG) as server:
        server.edit({"kind": "board", "board": "main", "size_mm": [30, 20]}).raise_for_status()
        yield server


def test_the_report_is_that_of_the_present_state(shared: Running) -> None:
    report = shared.client.get("/api/report.html").raise_for_status()
    assert report.text.startswith("<!doctype html>")
    assert "lamp" in report.text


def test_all_that_can_be_taken_away_is_told(full: Running) -> None:
    told = full.client.get("/api/exports").raise_for_status().json()
    assert list(FIXED) == [one["name"] for one in told]


@pytest.mark.parametrize("name", FIXED)
def test_every_export_can_be_taken_away(full: Running, name: str) -> None:
    taken = full.client.get(f"/api/exports/{name}").raise_for_status()
    assert f'attachment; filename="{name}"' == taken.headers["content-disposition"]
    assert taken.content.startswith(BEGINS.get(name.rpartition(".")[2], b""))
    assert taken.content
    if name.endswith(".json"):
        assert "lidoff analysis" == json.loads(taken.content)["document"]


def test_a_drawing_is_taken_away_as_it_was_asked_for(full: Running) -> None:
    def svg(asked: str) -> str:
        return full.client.get(f"/api/exports/schematic.svg?{asked}").raise_for_status().text

    assert "mA" not in svg("situation=lit")
    assert "mA" in svg("situation=lit&currents=true")
    assert "LED with series resistor" in svg("blocks=true")
    assert svg("zigzag=true") != svg("theme=light")
    assert "lit" in svg("light_up=R1")
    png = full.client.get("/api/exports/schematic.png?width=333&theme=dark").raise_for_status().content
    assert 333 == Image.open(io.BytesIO(png)).width


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ("currents=true", "no numbers without a situation"),
        ("situation=noon", "no situation 'noon'"),
        ("light_up=R9", "neither a part nor a net 'R9'"),
        ("situation=lit&loop_of=led_plus", "no part 'led_plus'"),
        ("theme=pink", "theme"),
        ("width=9", "width"),
    ],
)
def test_a_drawing_that_cannot_be_made_says_why(full: Running, asked: str, words: str) -> None:
    answer = full.client.get(f"/api/exports/schematic.pdf?{asked}")
    assert answer.status_code in (404, 422)
    assert words in answer.json()["what"]


def test_stills_are_taken_away_in_the_size_that_was_asked_for(full: Running) -> None:
    taken = full.client.get("/api/exports/stills.zip?size=1080x1920&dark=true").raise_for_status()
    archive = zipfile.ZipFile(io.BytesIO(taken.content))
    names = archive.namelist()
    assert "stills/walk.html" == names[0]
    assert (1080, 1920) == Image.open(io.BytesIO(archive.read(names[1]))).size


def test_an_unknown_export_or_still_is_not_there(shared: Running) -> None:
    assert 404 == shared.client.get("/api/exports/dossier.toml").status_code
    assert 404 == shared.client.get("/api/stills/nothing.png").status_code


def test_stills_stand_in_the_order_that_was_chosen_and_the_others_after_them(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        own = [one["name"] for one in server.client.get("/api/stills").raise_for_status().json()]
        chosen = [own[1], own[0]]
        edit: dict[str, object] = {"kind": "set", "path": ["publication", "stills"], "value": chosen}
        server.edit(edit).raise_for_status()
        told = server.client.get("/api/stills").json()
        assert chosen == [one["name"] for one in told if one["shown"]]
        assert set(own[2:]) == {one["name"] for one in told if not one["shown"]}
        picture = server.client.get(f"/api/stills/{own[0]}.png?size=320").raise_for_status()
        assert b"\x89PNG" == picture.content[:4]


def test_chosen_files_are_written_into_the_folder(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        job = server.client.post("/api/publish", json={"what": ["report.html", "parts.csv"]}).json()
        result = done(server, job)["result"]
        assert ["out/report.html", "out/parts.csv"] == [one["path"] for one in result["files"]]  # type: ignore[index]
        assert ["parts.csv", "report.html"] == sorted(file.name for file in (tmp_path / "out").iterdir())


def test_a_file_that_there_is_not_is_refused_before_any_is_written(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        answer = server.client.post("/api/publish", json={"what": ["parts.csv", "../escape.csv"]})
        assert "no export '../escape.csv'" in answer.json()["what"]
    assert not (tmp_path / "out").exists()
