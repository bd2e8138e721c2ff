"""Publishing from the bench: the report, stills, files to take away, files in the folder."""

import json
from pathlib import Path

import pytest

from lidoff.bench.publishing import EXPORTS
from tests.bench.running import Running, running, waited_for


def test_the_report_is_that_of_the_present_state(shared: Running) -> None:
    report = shared.client.get("/api/report.html").raise_for_status()
    assert report.text.startswith("<!doctype html>")
    assert "lamp" in report.text


@pytest.mark.parametrize("name", [one.name for one in EXPORTS])
def test_every_export_can_be_taken_away(shared: Running, name: str) -> None:
    taken = shared.client.get(f"/api/exports/{name}").raise_for_status()
    assert f'attachment; filename="{name}"' == taken.headers["content-disposition"]
    assert taken.content
    if name.endswith(".json"):
        assert "lidoff analysis" == json.loads(taken.content)["document"]


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
        waited_for(server.bench.events, "job", 60.0)
        done = server.client.get(f"/api/jobs/{job['job']}").json()
        assert ("done", None) == (done["state"], done["problem"])
        assert ["out/report.html", "out/parts.csv"] == [one["path"] for one in done["result"]["files"]]
        assert ["parts.csv", "report.html"] == sorted(file.name for file in (tmp_path / "out").iterdir())
