"""The shelf from the bench: read as a job, searched, likened to the circuit on the bench, counted."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from lidoff.shelf import INDEX_NAME
from tests.bench.running import Running, done, running
from tests.shelf.build import lamp_text, shelf_of


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server of one lamp of three, its shelf read; nobody may change anything in it."""
    texts = {
        "lamp": lamp_text(),
        "shop/torch": lamp_text("Torch (invented)", says="3 W", marking="XT-9"),
        "shop/broken": lamp_text().replace("resistor", "resistr"),
    }
    shelf = shelf_of(tmp_path_factory.mktemp("shelf"), texts)
    with running(shelf / "lamp") as server:
        done(server, server.client.post("/api/shelf/read").raise_for_status().json())
        yield server


def test_before_it_is_read_the_shelf_tells_its_folder_and_makes_no_file(tmp_path: Path) -> None:
    shelf_of(tmp_path, {"lamp": lamp_text()})
    with running(tmp_path / "lamp") as server:
        told = server.client.get("/api/shelf").raise_for_status().json()
        assert (str(tmp_path), False, "lamp") == (told["folder"], told["read"], told["own"])
        answer = server.client.get("/api/shelf/search?words=lamp")
        assert (404, "the shelf was not read yet") == (answer.status_code, answer.json()["what"])
    assert not (tmp_path / INDEX_NAME).exists()


def test_reading_the_shelf_tells_what_is_on_it_and_what_could_not_be_read(read: Running) -> None:
    told = read.client.get("/api/shelf").raise_for_status().json()
    assert (True, 2, "lamp") == (told["read"], told["dossiers"], told["own"])
    assert ["shop/broken"] == [one["folder"] for one in told["problems"]]
    assert ["dc_supply", "led", "resistor"] == told["parts"]
    assert (["power_input"], ["not borne out"]) == (told["claims"], told["verdicts"])
    assert (read.folder.parent / INDEX_NAME).is_file()


def test_reading_again_reads_only_what_could_not_be_read(read: Running) -> None:
    job = done(read, read.client.post("/api/shelf/read").raise_for_status().json())
    assert (2, 1) == (job["result"]["dossiers"], job["result"]["read"])  # type: ignore[index]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ({"words": "torch"}, {"shop/torch": False}),
        ({"marking": "xt"}, {"shop/torch": False}),
        ({"marking": "W5"}, {"lamp": True}),
        ({"value": "150 Ω ± 5 %"}, {"lamp": True, "shop/torch": False}),
        ({"part": "led", "verdict": "not borne out"}, {"lamp": True, "shop/torch": False}),
        ({"words": "kettle"}, {}),
    ],
)
def test_dossiers_are_found_by_what_they_have(
    read: Running, asked: dict[str, str], found: dict[str, bool]
) -> None:
    hits = read.client.get("/api/shelf/search", params=asked).raise_for_status().json()["hits"]
    assert found == {hit["folder"]: hit["own"] for hit in hits}


@pytest.mark.parametrize(
    ("asked", "code"),
    [
        ({}, "impossible_value"),
        ({"value": "ten"}, "impossible_value"),
        ({"colour": "red"}, "request_unclear"),
    ],
)
def test_a_search_that_cannot_be_says_why(read: Running, asked: dict[str, str], code: str) -> None:
    answer = read.client.get("/api/shelf/search", params=asked)
    assert 422 == answer.status_code
    assert code == answer.json()["code"], answer.json()


def test_the_same_circuit_elsewhere_is_wholly_alike(read: Running) -> None:
    answer = read.client.post("/api/shelf/alike", json={}).raise_for_status().json()
    assert [("shop/torch", 1.0)] == [(one["folder"], one["likeness"]) for one in answer["found"]]
    assert 0 == answer["revision"]


def test_surroundings_of_some_parts_are_looked_for(read: Running) -> None:
    answer = read.client.post("/api/shelf/alike", json={"parts": ["R1"]}).raise_for_status().json()
    assert [("shop/torch", 1.0)] == [(one["folder"], one["likeness"]) for one in answer["found"]]
    unknown = read.client.post("/api/shelf/alike", json={"parts": ["R9"]})
    assert "there is no part 'R9'" in unknown.json()["what"]


def test_a_dossier_of_the_shelf_is_told_by_its_verdicts_and_findings(read: Running) -> None:
    told = read.client.get("/api/shelf/dossier?folder=shop/torch").raise_for_status().json()
    assert ("Torch (invented)", "Nobody (invented)") == (told["title"], told["maker"])
    assert [("3 W", "not borne out")] == [(one["says"], one["verdict"]) for one in told["claims"]]
    assert all(one["title"] and one["severity"] for one in told["findings"])
    assert "resistr" in read.client.get("/api/shelf/dossier?folder=shop/broken").json()["what"]
    assert 404 == read.client.get("/api/shelf/dossier?folder=../..").status_code


def test_claims_are_counted_over_the_shelf_or_over_what_is_found(read: Running) -> None:
    (record,) = read.client.get("/api/shelf/claims").raise_for_status().json()["records"]
    assert ("power_input", 2, {"not borne out": 2}) == (record["kind"], record["count"], record["verdicts"])
    # 1 W and 3 W against a reading of 0.43 W.
    assert [1 / 0.43, 3 / 0.43] == pytest.approx(record["overstated"])
    (torch,) = read.client.get("/api/shelf/claims?words=torch").json()["records"]
    assert (1, pytest.approx(3 / 0.43)) == (torch["count"], torch["middle"])
    picture = read.client.get("/api/shelf/claims.svg").raise_for_status()
    assert "image/svg+xml" == picture.headers["content-type"]
    assert "power input" in picture.text
