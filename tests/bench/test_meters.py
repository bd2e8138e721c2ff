"""Live meters from the bench: recorded beside the requests, heard, stopped, unplugged; every record becomes a log."""

import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from lidoff.evidence import read_log
from tests.bench.meters import LoneMeter, lone_meter
from tests.bench.running import Running, done, running


def begun(server: Running, meter: LoneMeter, **asked: object) -> dict[str, Any]:
    """Record that begins."""
    body = {
        "name": "run",
        "reads": [{"meter": meter.address, "read": "voltage dc"}],
        "every": "0.05 s",
        **asked,
    }
    return dict(server.client.post("/api/recordings", json=body).raise_for_status().json())


def once(
    server: Running, told: dict[str, Any], holds: Callable[[dict[str, Any]], bool], seconds: float = 240.0
) -> dict[str, Any]:
    """How the record stands once something holds of it."""
    until = time.monotonic() + seconds
    while not holds(told):
        assert time.monotonic() < until, told
        time.sleep(0.02)
        told = server.client.get(f"/api/recordings/{told['recording']}").raise_for_status().json()
    return told


def ended(told: dict[str, Any]) -> bool:
    """Whether it is over."""
    return bool(told["state"] == "ended")


def test_a_record_becomes_a_log_when_it_ends(tmp_path: Path) -> None:
    with running(tmp_path) as server, lone_meter() as meter:
        told = once(server, begun(server, meter, lasts="0.5 s"), ended)
        assert ("logs/run.csv", "the time was up", None) == (told["file"], told["why"], told["problem"])
        log = read_log((tmp_path / "logs" / "run.csv").read_bytes())
        assert told["rows"] == len(log.times) > 1
        assert {"U": "4.98760"} == told["cells"]
        assert {"U": "V"} == told["units"]
        files = [one["path"] for one in server.state()["files"]]  # type: ignore[attr-defined]
        assert ["logs/run.csv"] == files
    assert not (tmp_path / "logs" / "recording").exists()


def test_a_record_is_heard_seen_and_stopped_while_it_grows(tmp_path: Path) -> None:
    with running(tmp_path) as server, lone_meter() as meter:
        told = once(server, begun(server, meter), lambda told: told["rows"] > 2)
        log = server.client.get(f"/api/recordings/{told['recording']}/log").raise_for_status().json()
        assert ["time", "U"] == [column["name"] for column in log["columns"]]
        assert [] == server.state()["files"]
        server.client.delete(f"/api/recordings/{told['recording']}").raise_for_status()
        told = once(server, told, ended)
        assert ("stopped", "logs/run.csv") == (told["why"], told["file"])
        heard = [event.data for event in server.bench.events.missed(0) or [] if event.sort == "recording"]
        assert '"state": "recording"' in heard[0]
        assert '"state": "ended"' in heard[-1]


def test_growing_rows_set_no_analysis_off(tmp_path: Path) -> None:
    with running(tmp_path, seconds_between_looks=0.05) as server, lone_meter() as meter:
        server.client.get("/api/analysis?stage=full&wait=60000").raise_for_status()
        before = server.client.get("/api/analysis?stage=quick").json()["generation"]
        told = once(server, begun(server, meter), lambda told: told["rows"] > 8)
        assert before == server.client.get("/api/analysis?stage=quick").json()["generation"]
        server.client.delete(f"/api/recordings/{told['recording']}")
        once(server, told, ended)


def test_an_unplugged_meter_leaves_a_gap_and_is_found_again(tmp_path: Path) -> None:
    with running(tmp_path) as server, lone_meter() as meter:
        told = once(server, begun(server, meter), lambda told: told["rows"] > 1)
        meter.unplug()
        told = once(server, told, lambda told: told["state"] == "silent")
        assert "silent" in told["word"]
        rows = told["rows"]
        meter.plug_in()
        told = once(server, told, lambda told: told["rows"] > rows)
        assert ("recording", 1) == (told["state"], told["lost"])
        server.client.delete(f"/api/recordings/{told['recording']}")
        assert "logs/run.csv" == once(server, told, ended)["file"]


def test_a_meter_that_is_not_there_is_told_and_leaves_nothing(tmp_path: Path) -> None:
    with running(tmp_path) as server, lone_meter() as meter:
        meter.unplug()
        told = once(server, begun(server, meter), ended)
        assert ("", 0) == (told["file"], told["rows"])
        assert "cannot be opened" in told["problem"]["what"]
    assert [] == list((tmp_path / "logs").rglob("*"))


def test_rows_under_way_outlive_the_end_of_the_server(tmp_path: Path) -> None:
    with lone_meter() as meter:
        with running(tmp_path) as server:
            once(server, begun(server, meter), lambda told: told["rows"] > 3)
            # As a kill would leave it: nobody puts the record among the logs.
            server.bench.recordings._end = lambda *_: None  # type: ignore[method-assign]
        with running(tmp_path) as server:
            (file,) = (tmp_path / "logs").glob("run-*.csv")
            assert len(read_log(file.read_bytes()).times) > 3
            assert [f"logs/{file.name}"] == [one["path"] for one in server.state()["files"]]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({"every": "0 s"}, "not above zero"),
        ({"every": "1 V"}, "1 V"),
        ({"until": "X < 1 V"}, "no column is called 'X'"),
        ({"reads": [{"meter": "TCPIP::1.2.3.4::5025::SOCKET", "read": "OUTP ON"}]}, "'OUTP ON'"),
        ({"reads": [{"meter": "TCPIP::1.2.3.4::5025::SOCKET", "read": "U = OUTP ON"}]}, "not one question"),
        ({"reads": []}, "reads"),
    ],
)
def test_what_cannot_be_recorded_is_refused_at_once(
    shared: Running, asked: dict[str, object], words: str
) -> None:
    body = {"name": "run", "reads": [{"meter": "ASRL1::INSTR", "read": "voltage dc"}], **asked}
    answer = shared.client.post("/api/recordings", json=body)
    assert 422 == answer.status_code
    assert words in answer.json()["what"]


def test_meters_that_can_be_seen_are_named(tmp_path: Path) -> None:
    simulated = tmp_path / "meters.yaml"
    simulated.write_text(
        'spec: "1.0"\ndevices:\n  one:\n    eom:\n      TCPIP INSTR:\n        q: "\\n"\n        r: "\\n"\n    error: ERROR\n'
        "resources:\n  TCPIP::10.0.0.5::inst0::INSTR:\n    device: one\n",
        encoding="utf-8",
    )
    with running(tmp_path / "lamp", meters_through=f"{simulated}@sim") as server:
        job = done(server, server.client.post("/api/meters").raise_for_status().json())
        result: Any = job["result"]
        assert ["TCPIP0::10.0.0.5::inst0::INSTR"] == result["addresses"]
        assert "voltage dc" in result["questions"]


@pytest.mark.parametrize("link", ["logs", "logs/recording"])
def test_records_neither_go_where_a_link_leads_nor_come_from_there(tmp_path: Path, link: str) -> None:
    folder, elsewhere = tmp_path / "lamp", tmp_path / "elsewhere"
    inside = elsewhere if link == "logs/recording" else elsewhere / "recording"
    inside.mkdir(parents=True)
    (inside / "mine.csv").write_text("t [s],U [V]\n0,1\n1,2\n", encoding="utf-8")
    (folder / link).parent.mkdir(parents=True)
    (folder / link).symlink_to(elsewhere)
    with running(folder) as server:
        body = {"name": "run", "reads": [{"meter": "TCPIP::127.0.0.1::1::SOCKET", "read": "voltage dc"}]}
        answer = server.client.post("/api/recordings", json=body)
        assert answer.status_code == 507, answer.text
        assert "is a link" in answer.json()["what"]
    assert [inside / "mine.csv"] == [file for file in elsewhere.rglob("*") if file.is_file()]
