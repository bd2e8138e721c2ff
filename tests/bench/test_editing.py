"""Edits over the wire: acknowledged once on the disk, refused clearly, told to every page."""

import json
import time
import tomllib
from pathlib import Path

import httpx
import pytest

from lidoff.dossier.opening import open_desk
from lidoff.errors import OutputRefused
from tests.bench.running import KEY, Running, running
from tests.dossier.build import lamp_text
from tests.dossier.desks import noon

TITLE: dict[str, object] = {"kind": "set", "path": ["device", "title"], "value": "lantern"}


def value(reference: str, text: str) -> dict[str, object]:
    """Edit of a part's value, as plain data."""
    return {"kind": "set", "path": ["parts", reference, "value"], "value": text}


def title_on_disk(folder: Path) -> str:
    """Title as the dossier's own file tells it."""
    return str(tomllib.loads((folder / "dossier.toml").read_text(encoding="utf-8"))["device"]["title"])


def test_an_acknowledged_edit_is_on_the_disk_and_comes_with_the_state_after_it(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        answer = server.edit(TITLE, id="a").raise_for_status().json()
        assert "lantern" == title_on_disk(tmp_path)
        assert (1, "a", "lantern") == (answer["revision"], answer["id"], answer["state"]["title"])
        assert {
            "can_undo": True,
            "undo_title": "device: title lantern",
            "can_redo": False,
            "redo_title": "",
            "length": 1,
        } == answer["state"]["history"]


def test_undo_and_redo_reach_over_a_restart(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.edit(TITLE).raise_for_status()
        server.edit(value("R1", "180 Ω")).raise_for_status()
    with running(tmp_path) as server:
        for number, base in enumerate((2, 3)):
            body = {"id": f"u{number}", "base": base}
            answer = server.client.post("/api/undo", json=body).raise_for_status().json()
            assert "undo" == answer["undone"]
        assert "lamp" == title_on_disk(tmp_path)
        server.client.post("/api/redo", json={"id": "r", "base": 4}).raise_for_status()
    assert "lantern" == title_on_disk(tmp_path)


def test_the_same_request_sent_again_is_done_once(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        first = server.edit(TITLE, base=0, id="a").json()
        assert first["revision"] == server.edit(TITLE, base=0, id="a").json()["revision"]
        assert 1 == server.bench.desk.revision


def test_an_edit_that_crosses_another_is_refused_with_what_and_what_to_do(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.edit(value("R1", "180 Ω"), base=0).raise_for_status()
        answer = server.edit(value("R1", "220 Ω"), base=0)
        assert (409, "stale") == (answer.status_code, answer.json()["code"])
        assert "another page or program changed the same: R1: value 180 Ω" in answer.json()["what"]
        assert "make your change again" in answer.json()["remedy"]
        server.edit(TITLE, base=0).raise_for_status()


@pytest.mark.parametrize(
    ("edit", "status", "code", "words"),
    [
        (value("R1", "150 V"), 422, "dossier_error", "150 V"),
        (
            {"kind": "set", "path": ["parts", "R1", "kind"], "value": "resistr"},
            422,
            "dossier_error",
            "resistr",
        ),
        ({"kind": "pin", "part": "X9", "x": 0, "y": 0}, 422, "unknown_name", "there is no part 'X9'"),
        ({"kind": "teleport"}, 422, "request_unclear", "teleport"),
        ({"kind": "set", "path": ["device"], "value": 1, "spell": 2}, 422, "request_unclear", "spell"),
        (
            {"kind": "decide", "finding": "misfit", "says": "dismissed"},
            422,
            "impossible_value",
            "a finding is dismissed without a reason",
        ),
    ],
)
def test_an_edit_that_cannot_be_is_refused_in_words(
    shared: Running, edit: dict[str, object], status: int, code: str, words: str
) -> None:
    answer = shared.edit(edit)
    assert (status, code) == (answer.status_code, answer.json()["code"])
    assert words in answer.json()["what"]
    assert 0 == shared.bench.desk.revision


def test_the_history_tells_who_did_what_the_newest_first(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.edit(TITLE).raise_for_status()
        server.client.post("/api/undo", json={"id": "u", "base": 1, "page": "mine"}).raise_for_status()
        entries = server.client.get("/api/history").json()["entries"]
        told = [(one["kind"], one["by"], one["page"], one["undone"]) for one in entries]
        assert [("undo", "page", "mine", False), ("edit", "page", "", True)] == told
        assert [1] == [
            one["revision"] for one in server.client.get("/api/history?before=2").json()["entries"]
        ]


def test_two_pages_are_told_what_changed(tmp_path: Path) -> None:
    with running(tmp_path) as server, server.client.stream("GET", "/api/events?page=other") as stream:
        lines = stream.iter_lines()
        assert "retry: 1000" == next(lines)
        server.edit(TITLE, id="a").raise_for_status()
        told = next(json.loads(line[6:]) for line in lines if line.startswith('data: {"revision"'))
        assert (1, "device: title lantern", ["dossier"]) == (told["revision"], told["title"], told["files"])


def test_a_page_that_was_away_gets_what_it_missed_or_is_told_to_look_afresh(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.edit(TITLE).raise_for_status()
        number = server.bench.events.missed(0)[-1].number  # type: ignore[index]
        server.edit(value("R1", "180 Ω")).raise_for_status()
        for last, first in ((str(number), "event: changed"), ("999999", "event: resync")):
            with server.client.stream("GET", "/api/events", headers={"last-event-id": last}) as stream:
                assert first in (line for line in stream.iter_lines() if line.startswith("event: "))


def test_a_change_by_another_program_reaches_the_pages(tmp_path: Path) -> None:
    with running(tmp_path, seconds_between_looks=600.0) as server:
        file = tmp_path / "dossier.toml"
        file.write_text(file.read_text(encoding="utf-8").replace('"lamp"', '"torch"'), encoding="utf-8")
        server.bench.look()
        assert "torch" == server.state()["title"]
        file.write_text("[device\n", encoding="utf-8")
        server.bench.look()
        assert "dossier.toml" in str(server.state()["outside"])
        refused = server.edit(TITLE)
        assert (409, "changed_outside") == (refused.status_code, refused.json()["code"])
        server.client.post("/api/outside", json={"keep": "own"}).raise_for_status()
        assert "torch" == title_on_disk(tmp_path)
        assert "[device\n" == (tmp_path / "dossier.outside-1.toml").read_text(encoding="utf-8")


def test_a_second_server_on_the_same_dossier_is_kept_out(tmp_path: Path) -> None:
    with running(tmp_path), pytest.raises(Exception, match="open in another workbench"):
        open_desk(tmp_path, noon)


def test_an_empty_folder_is_offered_a_beginning(tmp_path: Path) -> None:
    with running(tmp_path, empty=True) as server:
        assert server.state()["begun"] is False
        demos = server.client.get("/api/beginnings").json()["demos"]
        assert {"name": "night-light", "title": "Plug-in night light with light sensor"} in demos
        body = {"title": "desk lamp", "id": "a"}
        answer = server.client.post("/api/begin", json=body).raise_for_status().json()
        assert ("desk lamp", True) == (answer["state"]["title"], answer["state"]["begun"])
        again = server.client.post("/api/begin", json={**body, "id": "b"})
        assert (409, "stale") == (again.status_code, again.json()["code"])
        server.edit({"kind": "add", "path": ["trials", "shaken"], "value": {"what": "a", "seen": "b"}})
        assert 1 == server.bench.desk.revision


def test_a_dossier_can_begin_as_a_copy_of_an_invented_one(tmp_path: Path) -> None:
    with running(tmp_path, empty=True) as server:
        body = {"demo": "night-light", "id": "a"}
        answer = server.client.post("/api/begin", json=body).raise_for_status().json()
        assert "Plug-in night light with light sensor" == answer["state"]["title"]
        unknown = server.client.post("/api/begin", json={"demo": "toaster", "id": "b"})
        assert unknown.status_code in (409, 422)


def test_an_unknown_address_is_answered_in_the_same_form(shared: Running) -> None:
    answer = shared.client.get("/api/nothing")
    assert (404, "unknown_name") == (answer.status_code, answer.json()["code"])


def test_a_key_in_a_cookie_opens_as_well(shared: Running) -> None:
    with httpx.Client(base_url=shared.client.base_url) as browser:
        assert 401 == browser.get("/api/state").status_code
        entered = browser.get(f"/enter?key={KEY}")
        assert (303, "/") == (entered.status_code, entered.headers["location"])
        assert "HttpOnly" in entered.headers["set-cookie"]
        assert "SameSite=strict" in entered.headers["set-cookie"]
        assert 200 == browser.get("/api/state").status_code


def test_values_that_no_dossier_has_are_shown_and_can_be_mended(tmp_path: Path) -> None:
    strange = lamp_text(('title = "lamp"', 'title = "lamp"\nbought = 2024-05-01\nprice = inf'))
    with running(tmp_path, strange) as server:
        device = server.state()["document"]["device"]  # type: ignore[index]
        assert ("2024-05-01", None) == (device["bought"], device["price"])
        for name in ("bought", "price"):
            server.edit({"kind": "set", "path": ["device", name], "value": None}).raise_for_status()
        assert [] == server.state()["faults"]


@pytest.fixture
def unhurried(monkeypatch: pytest.MonkeyPatch) -> None:
    """An answer waits for its drawing however busy the machine is."""
    monkeypatch.setattr("lidoff.bench.showing.LONGEST", 60.0)


@pytest.mark.usefixtures("unhurried")
def test_the_answer_to_an_edit_brings_what_the_page_shows(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.client.get("/api/schematic.svg?situation=lit").raise_for_status()
        body = {"id": "a", "base": 0, "edit": value("R1", "180 Ω"), "shows": {"situation": "lit"}}
        shown = server.client.post("/api/edits", json=body).raise_for_status().json()["shown"]
        drawn = server.client.get("/api/schematic.svg?situation=lit&style=outside").text
        told = server.client.get("/api/analysis?stage=quick").json()
    assert "180 Ω" in shown["svg"]
    assert drawn == shown["svg"]
    assert (1, True) == (shown["quick"]["revision"], shown["quick"]["fresh"])
    assert told == shown["quick"]


@pytest.mark.usefixtures("unhurried")
def test_the_answer_to_an_undo_brings_what_the_page_shows(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.client.get("/api/schematic.svg").raise_for_status()
        server.edit(value("R1", "180 Ω")).raise_for_status()
        for number, (step, text) in enumerate((("undo", "150 Ω"), ("redo", "180 Ω"))):
            body = {"id": step, "base": 1 + number, "shows": {}}
            answer = server.client.post(f"/api/{step}", json=body).raise_for_status().json()
            assert text in answer["shown"]["svg"]


def test_an_edit_of_a_page_that_shows_nothing_is_answered_without_a_drawing(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        assert server.edit(TITLE).json()["shown"] is None


def test_a_state_that_could_not_be_kept_is_never_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with running(tmp_path) as server:
        server.client.get("/api/analysis?stage=quick&wait=60000").raise_for_status()
        journal = server.bench.desk._journal
        assert journal is not None

        def full(*_: object, **__: object) -> None:
            raise OutputRefused("the change cannot be noted", remedy="make room on the disk")

        with monkeypatch.context() as broken:
            broken.setattr(journal, "add", full)
            assert 507 == server.edit(value("R1", "180 Ω")).status_code
        time.sleep(0.3)
        answer = server.client.get("/api/analysis?stage=quick").json()
        assert (0, True) == (answer["revision"], answer["fresh"])
        assert "150 Ω" in server.client.get("/api/schematic.svg").text
        server.edit(value("R1", "220 Ω")).raise_for_status()
        assert "220 Ω" in server.client.get("/api/schematic.svg").text
