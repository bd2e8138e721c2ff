"""Classes of a view on the bench: told quickly for strokes that are not kept yet, the newest question first, memory bounded."""

import base64
import io
import json
import shutil
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import numpy as np
import pytest
from PIL import Image

from lidoff.bench import class_worker
from lidoff.bench.classing import PLACES, Classing
from lidoff.board import BARE, BODY, CLASSES, COVERED, CUT, LAMINATE
from tests.bench.running import Running, running

DEMO = Path(__file__).parents[2] / "demos" / "night-light"
VIEW = (2.0, 2.0, 20.0, 16.0)


@pytest.fixture(scope="module")
def night_light(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server with an invented dossier whose board was traced from photos; nobody changes it."""
    folder = tmp_path_factory.mktemp("classes") / "night-light"
    shutil.copytree(DEMO, folder)
    with running(folder) as server:
        yield server


def stroke(says: str, *points: tuple[float, float], width: float = 0.6) -> dict[str, object]:
    """A stroke as a page sends it."""
    return {"says": says, "points_mm": points, "width_mm": width}


def asked(
    server: Running,
    *strokes: dict[str, object],
    page: str = "one",
    window: tuple[float, ...] = VIEW,
    side: str = "back",
) -> httpx.Response:
    """Ask for the classes of a view."""
    body = {"page": page, "window_mm": window, "strokes": strokes}
    return server.client.post(f"/api/boards/main/{side}/classes", json=body)


def numbers(answer: httpx.Response) -> np.ndarray:
    """Number of each pixel's class."""
    told = answer.raise_for_status().json()
    picture = Image.open(io.BytesIO(base64.b64decode(told["picture"])))
    assert ("L", (told["width"], told["height"])) == (picture.mode, picture.size)
    return np.asarray(picture)


def at(answer: httpx.Response, x: float, y: float) -> str:
    """Class at a place of the board."""
    told = answer.json()
    left, top = told["corner_mm"]
    column, row = int((x - left) * told["px_per_mm"]), int((y - top) * told["px_per_mm"])
    return str(told["classes"][numbers(answer)[row, column]]["says"])


def test_a_view_is_told_as_a_picture_of_class_numbers_with_their_shares(night_light: Running) -> None:
    answer = asked(night_light)
    found, told = numbers(answer), answer.json()
    assert list(CLASSES) == [one["says"] for one in told["classes"]]
    assert sum(one["share"] for one in told["classes"]) == pytest.approx(1.0)
    shares = np.bincount(found.ravel(), minlength=len(CLASSES)) / found.size
    assert [one["share"] for one in told["classes"]] == pytest.approx(shares.tolist())
    assert {CLASSES.index(name) for name in (COVERED, BARE, LAMINATE, BODY)} <= set(np.unique(found).tolist())
    assert told["corner_mm"] == pytest.approx(VIEW[:2], abs=0.1)
    assert told["width"] / told["px_per_mm"] == pytest.approx(VIEW[2] - VIEW[0], abs=0.2)
    board = json.loads((DEMO / "boards" / "main.json").read_text(encoding="utf-8"))
    assert told["strokes"] == len(next(one for one in board["sides"] if one["side"] == "back")["strokes"])


def test_a_stroke_that_is_not_kept_yet_counts_where_it_lies_and_elsewhere(night_light: Running) -> None:
    before = asked(night_light)
    covered = numbers(before) == CLASSES.index(COVERED)
    after = asked(night_light, stroke(LAMINATE, (5.0, 5.0), (9.0, 5.0)), stroke(CUT, (5.0, 9.0), (9.0, 9.0)))
    assert (LAMINATE, LAMINATE) == (at(after, 7.0, 5.0), at(after, 7.0, 9.0))
    assert after.json()["strokes"] == before.json()["strokes"] + 2
    assert (numbers(after) != numbers(before)).sum() > 200
    assert covered.any()
    assert night_light.bench.desk.revision == 0


def test_a_side_is_made_ready_once_and_let_go_when_nobody_paints(
    night_light: Running, monkeypatch: pytest.MonkeyPatch
) -> None:
    classing = night_light.bench.classing
    with monkeypatch.context() as patch:
        patch.setattr(classing, "_idle", 0.1)
        asked(night_light).raise_for_status()
        until = time.monotonic() + 10.0
        while classing._beside._pool is not None:
            assert time.monotonic() < until
            time.sleep(0.05)
    took = []
    for number in range(4):
        begun = time.monotonic()
        asked(night_light, stroke(COVERED, (6.0 + number, 4.0), (6.0 + number, 8.0))).raise_for_status()
        took.append(time.monotonic() - begun)
    assert min(took[1:]) < took[0] / 4


def test_the_same_question_is_answered_from_what_was_told(night_light: Running) -> None:
    said = stroke(LAMINATE, (4.0, 4.0), (6.0, 4.0))
    first = asked(night_light, said)
    begun = time.monotonic()
    again = asked(night_light, said, page="another")
    assert time.monotonic() - begun < 0.15
    assert first.json() == again.json()


def test_strokes_undone_vanish_from_the_classes(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    with running(tmp_path / "demo") as server:
        before = asked(server)
        line = {"points_mm": [[5.0, 5.0], [9.0, 5.0]], "width_mm": 0.6}
        server.edit(
            {"kind": "stroke", "board": "main", "side": "back", "says": BODY, **line}
        ).raise_for_status()
        kept = asked(server)
        assert BODY == at(kept, 7.0, 5.0)
        body = {"id": "u", "base": server.bench.desk.revision}
        server.client.post("/api/undo", json=body).raise_for_status()
        assert before.json() == asked(server).json()
        server.client.post(
            "/api/redo", json={"id": "r", "base": server.bench.desk.revision}
        ).raise_for_status()
        assert kept.json() == asked(server).json()
        # A part that goes teaches no more.
        server.edit({"kind": "unplace", "board": "main", "reference": "R6"}).raise_for_status()
        assert kept.json()["picture"] != asked(server).json()["picture"]


def test_a_newer_question_of_the_same_page_ends_the_older_one(night_light: Running) -> None:
    asked(night_light).raise_for_status()
    answers: dict[int, httpx.Response] = {}

    def ask(number: int) -> None:
        line = stroke(COVERED, (6.0, 3.0 + number), (9.0, 3.0 + number))
        answers[number] = asked(night_light, line, page="quick hand")

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
        time.sleep(0.03)
    for thread in threads:
        thread.join()
    assert 200 == answers[5].status_code
    ended = [one for one in answers.values() if one.status_code != 200]
    assert ended
    assert {("superseded", 409)} == {(one.json()["code"], one.status_code) for one in ended}


def test_pages_do_not_end_each_others_questions(night_light: Running) -> None:
    answers: list[int] = []

    def ask(page: str) -> None:
        line = stroke(COVERED, (6.0, 3.0), (9.0, 3.0 + len(page)))
        answers.append(asked(night_light, line, page=page).status_code)

    threads = [threading.Thread(target=ask, args=(page,)) for page in ("a", "bb", "ccc")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [200, 200, 200] == answers


@pytest.mark.parametrize(
    ("change", "what", "remedy"),
    [
        ({"window_mm": [-9.0, -9.0, -1.0, -1.0]}, "nothing of the board lies in the view", "bring the board"),
        ({"strokes": [stroke("cheese", (1.0, 1.0))]}, "a stroke of 'cheese'", "known|such as|covered copper"),
    ],
)
def test_what_cannot_be_classed_is_refused_with_what_to_do(
    night_light: Running, change: dict[str, object], what: str, remedy: str
) -> None:
    import re

    body = {"page": "p", "window_mm": VIEW, "strokes": [], **change}
    answer = night_light.client.post("/api/boards/main/back/classes", json=body)
    assert 422 == answer.status_code
    assert what in answer.json()["what"]
    assert re.search(remedy, answer.json()["remedy"])


def test_a_side_that_is_not_on_the_board_yet_is_refused_with_what_to_do(tmp_path: Path) -> None:
    shutil.copytree(DEMO, tmp_path / "demo")
    file = tmp_path / "demo" / "boards" / "main.json"
    board = json.loads(file.read_text(encoding="utf-8"))
    front, back = board["sides"]
    front["registration"] = None
    back["blank"] = True
    file.write_text(json.dumps(board), encoding="utf-8")
    with running(tmp_path / "demo") as server:
        unlaid, blank = asked(server, side="front"), asked(server)
        assert (422, 422) == (unlaid.status_code, blank.status_code)
        assert "the front of main was not laid on the board yet" == unlaid.json()["what"]
        assert "mark its corners" in unlaid.json()["remedy"]
        assert "said to carry no copper" in blank.json()["what"]
        missing = server.client.post(
            "/api/boards/moon/back/classes", json={"page": "p", "window_mm": VIEW, "strokes": []}
        )
        assert "there is no board 'moon'" == missing.json()["what"]


def test_more_pages_than_places_share_them(tmp_path: Path) -> None:
    classing = Classing(tmp_path)
    taken = [classing._place(f"page {number}") for number in range(PLACES + 3)]
    assert set(range(PLACES)) == set(taken)
    assert [0, 1, 2] == taken[-3:]
    classing.close()


def test_sides_kept_ready_are_bounded(monkeypatch: pytest.MonkeyPatch) -> None:
    class Kept:
        nbytes = 90_000_000

    monkeypatch.setattr(class_worker, "_bytes_of", lambda side: side.nbytes)
    held = class_worker._Held.sides
    monkeypatch.setattr(class_worker._Held, "sides", held.copy())
    for name in "abcdef":
        class_worker._make_room()
        class_worker._Held.sides[name] = class_worker._Ready(Kept())  # type: ignore[arg-type]
    assert "f" in class_worker._Held.sides
    assert "a" not in class_worker._Held.sides
    assert (
        sum(class_worker._bytes_of(one.bare) for one in class_worker._Held.sides.values())
        <= class_worker.MOST_BYTES
    )


def test_the_full_analysis_lets_classes_go_first_but_not_for_ever(tmp_path: Path) -> None:
    with running(tmp_path / "lamp") as server:
        server.client.get("/api/analysis?stage=full&wait=60000").raise_for_status()
        assert not server.bench.classing.is_asked()
        server.bench.live.goes_first = lambda: True
        begun = time.monotonic()
        server.edit({"kind": "set", "path": ["device", "title"], "value": "Lamp"}).raise_for_status()
        told = server.client.get("/api/analysis?stage=full&wait=60000").raise_for_status().json()
        assert 1 == told["revision"]
        assert time.monotonic() - begun >= 1.0
