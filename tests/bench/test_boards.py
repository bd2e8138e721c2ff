"""Boards on the bench: what was traced, the picture in tiles, strokes, copper followed, distances, probes, a tracing put in."""

import io
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.bench.running import Running, running, waited_for

DEMO = Path(__file__).parents[2] / "demos" / "night-light"


@pytest.fixture(scope="module")
def night_light(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server with an invented dossier whose board was traced from photos; nobody changes it."""
    folder = tmp_path_factory.mktemp("boards") / "night-light"
    shutil.copytree(DEMO, folder)
    with running(folder) as server:
        server.client.get("/api/analysis?stage=quick&wait=60000")
        yield server


def board(server: Running) -> dict[str, Any]:
    """The board as the page shows it."""
    return dict(server.client.get("/api/boards/main").raise_for_status().json())


def test_a_board_is_told_with_the_names_of_its_nets_in_the_circuit(night_light: Running) -> None:
    told = board(night_light)
    assert (31.0, 24.0) == tuple(told["size_mm"])
    nets = {net["name"]: net["pins"] for net in told["nets"]}
    circuit = {net["name"] for net in night_light.client.get("/api/circuit").json()["nets"]}
    assert {"rail", "sense", "base"} <= nets.keys() & circuit
    sides = {side["side"]: side for side in told["sides"]}
    copper = {piece["net"] for side in sides.values() for piece in side["copper"]}
    assert {"rail", "sense", "base"} <= copper
    placed = {part["reference"]: part for part in told["parts"]}
    assert {"A", "K"} == {pad["pin"].rpartition(".")[2] for pad in placed["LED1"]["pads"]}
    assert all(len(pad["corners_mm"]) >= 4 for part in placed.values() for pad in part["pads"])


def test_a_side_is_shown_flat_in_tiles(night_light: Running) -> None:
    side = next(one for one in board(night_light)["sides"] if one["registered"])
    assert side["px_per_mm"] == pytest.approx(side["width"] / 31.0, rel=0.01)
    place = f"/api/boards/main/{side['side']}/tiles/{side['levels'] - 1}/0/0.jpg"
    tile = Image.open(io.BytesIO(night_light.client.get(place).raise_for_status().content))
    assert (256, 256) == tile.size
    assert np.asarray(tile).std() > 5.0


def test_a_side_tells_how_well_it_shows_lengths(night_light: Running) -> None:
    side = next(one for one in board(night_light)["sides"] if one["registered"])
    traced = night_light.bench.traced("main")
    assert traced is not None
    kept = next(one.registration for one in traced.board.sides if one.side == side["side"])
    assert kept is not None
    assert kept.scale_uncertainty == side["scale_uncertainty"]
    assert kept.pixels_per_mm((15.5, 12.0)) == pytest.approx(side["photo_px_per_mm"])


def test_copper_is_followed_from_a_click(night_light: Running) -> None:
    told = board(night_light)
    pad = next(
        pad
        for part in told["parts"]
        if part["reference"] == "R6"
        for pad in part["pads"]
        if pad["net"] == "base"
    )
    side = next(
        side["side"] for side in told["sides"] if any(piece["net"] == "base" for piece in side["copper"])
    )
    asked = {"side": side, "at_mm": pad["at_mm"]}
    answer = night_light.client.post("/api/boards/main/follow", json=asked).raise_for_status().json()
    assert "base" == answer["net"]
    assert {"R6.2", "R6.1"} & set(answer["pins"])
    assert len(answer["outline_mm"][0]) > 3
    nowhere = night_light.client.post("/api/boards/main/follow", json={"side": side, "at_mm": [-9, -9]})
    assert (422, "click on copper, or trace this side first") == (
        nowhere.status_code,
        nowhere.json()["remedy"],
    )


def test_distances_are_measured_between_nets_of_the_circuit(night_light: Running) -> None:
    asked = {"first": "live", "second": "neutral"}
    told = night_light.client.post("/api/boards/main/distance", json=asked).raise_for_status().json()
    assert told["problem"] is None
    assert 0.5 < told["clearance"]["value_mm"] <= told["creepage"]["value_mm"] < 30.0
    assert len(told["creepage"]["path_mm"]) >= 2
    unknown = night_light.client.post(
        "/api/boards/main/distance", json={"first": "live", "second": "moon"}
    ).json()
    assert "moon has no conductor on the board" in unknown["problem"]["what"]


def test_the_probe_plan_leads_from_pad_to_pad(night_light: Running) -> None:
    plan = night_light.client.get("/api/boards/main/probe-plan").raise_for_status().json()
    pins = {pad["pin"] for part in board(night_light)["parts"] for pad in part["pads"]}
    assert plan["probes"]
    assert {end for probe in plan["probes"] for end in (probe["first"], probe["second"])} <= pins


@pytest.mark.parametrize("path", ["/api/boards/nothing", "/api/boards/main/front/tiles/99/0/0.jpg"])
def test_what_is_not_there_is_said(night_light: Running, path: str) -> None:
    assert 404 == night_light.client.get(path).status_code


def test_strokes_beeps_holes_and_parts_change_what_is_told(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        before = board(server)
        probe = server.client.get("/api/boards/main/probe-plan").json()["probes"][0]
        ends = {"first": probe["first"], "second": probe["second"]}
        for edit in (
            {"kind": "beep", "board": "main", **ends, "joined": not probe["expected"]},
            {"kind": "stroke", "board": "main", "side": "back", "says": "cut", "points_mm": [[1, 1], [2, 1]]},
            {"kind": "hole", "board": "main", "at_mm": [3, 3], "diameter_mm": 0.8, "plated": True},
            {"kind": "unplace", "board": "main", "reference": "R6"},
        ):
            server.edit(dict(edit)).raise_for_status()
        after = board(server)
        assert 4 == after["revision"]
        assert "R6" not in {part["reference"] for part in after["parts"]}
        # The cut is obeyed at once; a part that is gone leaves copper that was found with it.
        assert ([], ["parts"]) == (before["changed"], after["changed"])
        assert len(after["holes"]) == len(before["holes"]) + 1
        wrong = after["contradictions"][0]
        assert probe["first"] in wrong["what"]
        assert "the likeliest place to " in wrong["what"] or "look for a wire" in wrong["what"]
        assert wrong["beep"] == len(after["beeps"]) - 1
        for _ in range(4):
            body = {"id": f"u{_}", "base": server.bench.desk.revision}
            server.client.post("/api/undo", json=body).raise_for_status()
        assert {**before, "revision": 8} == board(server)


def test_a_placed_part_waits_to_be_told_and_is_drawn_once_it_is(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        pads = next(part["pads"] for part in board(server)["parts"] if part["reference"] == "R6")
        assert [] == server.client.get("/api/circuit").json()["untold"]
        server.edit({"kind": "remove", "path": ["parts", "R6"]}).raise_for_status()
        (untold,) = server.client.get("/api/circuit").json()["untold"]
        assert ("R6", "main") == (untold["reference"], untold["board"])
        lands = {land["land"]: land["net"] for land in untold["lands"]}
        assert "base" in lands.values()
        assert {pad["pin"].rpartition(".")[2] for pad in pads} == lands.keys()
        row = {"kind": "resistor", "value": "1 kΩ", "board": "main"}
        server.edit({"kind": "add", "path": ["parts", "R6"], "value": row}).raise_for_status()
        circuit = server.client.get("/api/circuit").json()
        assert [] == circuit["untold"]
        assert lands == next(part["pins"] for part in circuit["parts"] if part["reference"] == "R6")


def test_clicks_too_far_apart_for_a_body_place_nothing(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        place = {"kind": "place", "board": "main", "reference": "R99", "package": "0603", "side": "front"}
        refused = server.edit({**place, "first_mm": [1, 1], "second_mm": [29, 1]})
        assert (422, 0) == (refused.status_code, server.bench.desk.revision)
        assert (
            "R99: the clicks lie 28.00 mm apart, and pads 1 and 2 of 0603 lie 1.60 mm apart"
            in (refused.json()["what"])
        )


def test_a_side_is_laid_on_the_board_by_its_corners(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        told = next(one for one in board(server)["sides"] if one["side"] == "front")
        photo = server.client.get(f"/api/{told['photo']}").json()
        corners = (
            (80, 60),
            (photo["width"] - 90, 70),
            (photo["width"] - 80, photo["height"] - 60),
            (70, 800),
        )
        board_mm = ((0, 0), (31, 0), (31, 24), (0, 24))
        points = [{"photo_px": px, "board_mm": mm} for px, mm in zip(corners, board_mm, strict=True)]
        server.edit(
            {"kind": "register", "board": "main", "side": "front", "points": points}
        ).raise_for_status()
        laid = next(one for one in board(server)["sides"] if one["side"] == "front")
        assert laid["registered"]
        assert laid["px_per_mm"] == pytest.approx(photo["width"] / 31.0, rel=0.3)


@pytest.mark.journey
def test_a_tracing_goes_in_as_one_edit_that_can_be_undone(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        file = tmp_path / "demo" / "boards" / "main.json"
        before = file.read_text(encoding="utf-8")
        job = server.client.post("/api/boards/main/trace", json={}).raise_for_status().json()
        waited_for(server.bench.events, "job", 200.0)
        done = server.client.get(f"/api/jobs/{job['job']}").json()
        assert ("done", None) == (done["state"], done["problem"])
        assert 1 == done["result"]["revision"] == server.bench.desk.revision
        assert (
            "main traced from its photos" == server.client.get("/api/history").json()["entries"][0]["title"]
        )
        server.client.post("/api/undo", json={"id": "u", "base": 1}).raise_for_status()
        assert before == file.read_text(encoding="utf-8")


def test_a_tracing_that_crosses_an_edit_of_the_board_is_refused(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        job = server.client.post("/api/boards/main/trace", json={}).raise_for_status().json()
        server.edit({"kind": "unplace", "board": "main", "reference": "R6"}).raise_for_status()
        waited_for(server.bench.events, "job", 200.0)
        done = server.client.get(f"/api/jobs/{job['job']}").json()
        assert ("failed", "stale") == (done["state"], done["problem"]["code"])
        assert 1 == server.bench.desk.revision


def test_a_beep_that_contradicts_the_copper_leads_to_the_next_probe(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        net = max(board(server)["nets"], key=lambda one: len(one["pins"]))
        for second in net["pins"][1:]:
            ends = {"first": net["pins"][0], "second": second}
            server.edit({"kind": "beep", "board": "main", **ends, "joined": False}).raise_for_status()
            first = server.client.get("/api/boards/main/probe-plan").json()["probes"][0]
            if "the copper is wrong about" in first["why"]:
                assert first["expected"] is True
                assert {first["first"], first["second"]} <= set(net["pins"])
                assert first["second"] != second
                break
        else:
            raise AssertionError("no pin of the largest net lies between two others")
