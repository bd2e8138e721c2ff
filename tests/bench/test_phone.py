"""A phone: let in by a code that works once and runs out, and only for what is its own."""

from pathlib import Path

import httpx
import pytest

from lidoff.bench.events import Events
from lidoff.bench.phone import Phone
from lidoff.bench.settings import Settings
from tests.bench.running import KEY, Running, running
from tests.bench.test_files import photo


class Clock:
    """A clock that stands until it is moved."""

    now = 0.0

    def __call__(self) -> float:
        """Tell the time."""
        return self.now


def phone() -> tuple[Phone, Clock]:
    """Phone's door of a server that can be reached from the network."""
    clock = Clock()
    door = Phone(Settings(), Events(), clock)
    door.host = "192.168.0.2:8377"
    return door, clock


def test_the_door_is_shut_until_a_person_opens_it() -> None:
    door, _ = phone()
    assert not door.told().on
    assert "" == door.enter("")
    assert "" == door.open_host()


def test_a_server_of_this_computer_alone_says_how_to_let_a_phone_in() -> None:
    door = Phone(Settings(), Events())
    door.turn(True)
    assert (False, True) == (door.told().on, "--phone" in door.told().why_not)


def test_a_code_opens_once() -> None:
    door, _ = phone()
    door.turn(True)
    code = door.told().code
    key = door.enter(code)
    assert door.may(key, "PUT", "/api/files/photos/a.jpg")
    assert "" == door.enter(code)


def test_a_code_and_a_phone_run_out() -> None:
    door, clock = phone()
    door.turn(True)
    code = door.told().code
    clock.now = 301.0
    assert ("", False) == (door.enter(code), door.told().on)
    door.turn(True)
    key = door.enter(door.told().code)
    clock.now += 7201.0
    assert not door.may(key, "PUT", "/api/files/photos/a.jpg")
    assert "" == door.open_host()


def test_guessing_shuts_the_door() -> None:
    door, _ = phone()
    door.turn(True)
    code = door.told().code
    for _ in range(10):
        assert "" == door.enter("aaaaaaaaaa")
    assert "" == door.enter(code)


def test_shutting_the_door_puts_the_phone_out() -> None:
    door, _ = phone()
    door.turn(True)
    key = door.enter(door.told().code)
    door.turn(False)
    assert not door.may(key, "GET", "/phone")


@pytest.mark.parametrize(
    ("method", "path", "may"),
    [
        ("GET", "/phone", True),
        ("PUT", "/api/files/photos/a.jpg", True),
        ("GET", "/api/boards/main/probe-plan", True),
        ("GET", "/api/phone/boards", True),
        ("POST", "/api/phone/beep", True),
        ("GET", "/", False),
        ("GET", "/api/state", False),
        ("GET", "/api/photos/a.jpg", False),
        ("POST", "/api/edits", False),
        ("POST", "/api/undo", False),
        ("POST", "/api/phone", False),
        ("PUT", "/api/files/logs/a.csv", False),
        ("PUT", "/api/files/photos/a/../../x", False),
        ("GET", "/api/boards/main", False),
        ("GET", "/api/events", False),
    ],
)
def test_a_phone_may_send_photos_and_walk_the_probe_plan_and_nothing_else(
    method: str, path: str, may: bool
) -> None:
    door, _ = phone()
    door.turn(True)
    key = door.enter(door.told().code)
    assert may == door.may(key, method, path)
    assert not door.may("another", method, path)


def handset(server: Running) -> httpx.Client:
    """Browser of a phone, that knows the server by its name in the network."""
    return httpx.Client(base_url=server.client.base_url, headers={"host": server.bench.phone.host})


def test_a_phone_enters_and_sends_a_photo(tmp_path: Path) -> None:
    with running(tmp_path, phone=True) as server, handset(server) as mobile:
        assert 421 == mobile.get("/phone").status_code
        told = server.client.post("/api/phone", json={"on": True}).json()
        assert f"http://{server.bench.phone.host}/phone?code={told['code']}" == told["address"]
        assert told["qr_svg"].startswith("<svg")
        assert 401 == mobile.get("/phone?code=wrong").status_code
        entered = mobile.get(f"/phone?code={told['code']}")
        assert (303, "/phone") == (entered.status_code, entered.headers["location"])
        assert "lamp" == mobile.get("/api/phone/boards").json()["title"]
        sent = mobile.put("/api/files/photos/a.jpg", content=photo(), headers={"x-edit-id": "a"})
        answer = sent.raise_for_status().json()
        assert ("photos/a.jpg", None) == (answer["file"], answer["state"])
        assert "phone" == server.client.get("/api/history").json()["entries"][0]["by"]
        assert 401 == mobile.get("/api/state").status_code
        server.client.post("/api/phone", json={"on": False})
        assert 421 == mobile.get("/api/phone/boards").status_code


def test_over_the_network_the_key_of_the_start_opens_nothing(tmp_path: Path) -> None:
    with running(tmp_path, phone=True) as server, handset(server) as mobile:
        server.client.post("/api/phone", json={"on": True})
        assert 401 == mobile.get("/api/state", headers={"x-bench-key": KEY}).status_code
        assert 401 == mobile.get(f"/enter?key={KEY}").status_code
