"""Photos and logs sent in: kept whole or not at all, under names of their own, told to the dossier."""

import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from lidoff.bench.files import safe_name
from lidoff.errors import ImpossibleValue
from tests.bench.running import Running, running
from tests.dossier.build import lamp_text

LOGGED = """
[logs.run]
file = "logs/run.csv"
[readings.mean]
situation = "lit"
quantity = "mean voltage"
from_log = { log = "run", take = "mean", channels = ["U"] }
"""
LOG = "time [s],U [V]\n0,1.0\n1,1.5\n2,2.0\n"


def photo(width: int = 640, height: int = 400, form: str = "JPEG") -> bytes:
    """Picture in which every place is of its own colour."""
    rows, columns = np.mgrid[0:height, 0:width]
    pixels = np.stack([columns * 255 // width, rows * 255 // height, (rows + columns) % 256], axis=-1)
    out = io.BytesIO()
    Image.fromarray(pixels.astype(np.uint8)).save(out, form)
    return out.getvalue()


def put(server: Running, path: str, content: bytes, id: str = "a") -> dict[str, object]:
    """Send a file and give the answer."""
    answer = server.client.put(f"/api/files/{path}", content=content, headers={"x-edit-id": id})
    return {"status": answer.status_code, **answer.json()}


def test_a_photo_is_kept_as_it_is_and_told_by_an_edit_that_can_be_undone(tmp_path: Path) -> None:
    content = photo()
    with running(tmp_path) as server:
        answer = put(server, "photos/Front%20side.JPG?side=front&caption=the%20front", content)
        assert (200, "photos/Front-side.jpg") == (answer["status"], answer["file"])
        assert content == (tmp_path / "photos" / "Front-side.jpg").read_bytes()
        document = server.state()["document"]
        told = {"file": "photos/Front-side.jpg", "side": "front", "caption": "the front"}
        assert [told] == document["photos"]  # type: ignore[index]
        server.client.post("/api/undo", json={"id": "u", "base": 1}).raise_for_status()
        assert (tmp_path / "photos" / "Front-side.jpg").exists()
        assert [("photos/Front-side.jpg", False)] == [
            (one["path"], one["told"])
            for one in server.state()["files"]  # type: ignore[attr-defined]
        ]


def test_nothing_is_ever_written_over(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        assert "photos/a.jpg" == put(server, "photos/a.jpg", photo(), "1")["file"]
        assert "photos/a-2.jpg" == put(server, "photos/a.jpg", photo(320), "2")["file"]
        assert "photos/a-2.jpg" == put(server, "photos/a.jpg", photo(320), "2")["file"]
        assert 2 == len(list((tmp_path / "photos").iterdir()))


def test_a_log_is_kept_and_told_as_curves(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        assert "logs/run.csv" == put(server, "logs/run.csv", LOG.encode())["file"]
        told = server.client.get("/api/logs/run.csv").json()
        assert [("time", "s", [0.0, 1.0, 2.0]), ("U", "V", [1.0, 1.5, 2.0])] == [
            (one["name"], one["unit"], one["values"]) for one in told["columns"]
        ]


@pytest.mark.parametrize(
    ("path", "content", "status"),
    [
        ("photos/a.jpg", b"not a picture", 415),
        ("photos/a.jpg", b"", 422),
        ("photos/a.png", photo(), 415),
        ("photos/a.exe", photo(), 422),
        ("photos/run.csv", LOG.encode(), 422),
        ("logs/a.jpg", photo(), 422),
        ("logs/run.csv", b"\x00\x01\x02", 422),
        ("out/a.jpg", photo(), 422),
    ],
)
def test_what_is_no_photo_or_log_is_refused_and_leaves_nothing(
    tmp_path: Path, path: str, content: bytes, status: int
) -> None:
    with running(tmp_path) as server:
        answer = put(server, path, content)
        assert status == answer["status"], answer
        assert answer["what"]
        left = [file for name in ("photos", "logs", "out") for file in (tmp_path / name).glob("*")]
        assert ([], 0) == (left, server.bench.desk.revision)


def test_what_an_earlier_upload_left_unfinished_is_taken_away(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / ".ab12-a.jpg.part").write_bytes(b"half")
    (tmp_path / "photos" / ".ab12-a.jpg-look.jpg").write_bytes(b"whole, but not looked at yet")
    with running(tmp_path):
        assert [] == list((tmp_path / "photos").iterdir())


def test_tiles_at_full_scale_make_up_the_photo(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        put(server, "photos/a.png", photo(700, 300, "PNG"))
        told = server.client.get("/api/photos/a.png").json()
        assert (700, 300, 3, 256) == (told["width"], told["height"], told["levels"], told["tile"])
        rows = []
        for y in range(2):
            tiles = [server.client.get(f"/api/photos/a.png/tiles/2/{x}/{y}.jpg") for x in range(3)]
            rows.append(np.hstack([np.asarray(Image.open(io.BytesIO(tile.content))) for tile in tiles]))
        whole = np.vstack(rows)[:300, :700].astype(int)
        truth = np.asarray(Image.open(io.BytesIO(photo(700, 300, "PNG")))).astype(int)
        assert np.abs(whole - truth).mean() < 6.0
        coarsest = server.client.get("/api/photos/a.png/tiles/0/0/0.jpg")
        assert (256, 256) == Image.open(io.BytesIO(coarsest.content)).size
        for place in ("2/3/0", "2/0/2", "3/0/0", "2/-1/0"):
            assert 404 == server.client.get(f"/api/photos/a.png/tiles/{place}.jpg").status_code
        small = server.client.get("/api/photos/a.png/small.jpg?size=100")
        assert (100, 43) == Image.open(io.BytesIO(small.content)).size


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("a.jpg", "a.jpg"),
        ("../../etc/cron.JPG", "cron.jpg"),
        ("C:\\photos\\Foto Nr 1.jpeg", "Foto-Nr-1.jpeg"),
        (".hidden.png", "hidden.png"),
        ("täst\n.heic", "t-st.heic"),
        ("…….csv", "file.csv"),
        ("a" * 300 + ".jpg", "a" * 80 + ".jpg"),
    ],
)
def test_a_name_is_made_fit_for_every_file_system(name: str, safe: str) -> None:
    assert safe == safe_name(name)


@pytest.mark.parametrize("name", ["a", "a.svg", "a.html", "", ".jpg.exe"])
def test_other_endings_are_refused(name: str) -> None:
    with pytest.raises(ImpossibleValue, match="does not end as a photo or a log does"):
        safe_name(name)


def test_a_log_that_readings_count_on_makes_the_numbers_anew(tmp_path: Path) -> None:
    text = lamp_text(more=LOGGED)
    with running(tmp_path, text, seconds_between_looks=600.0) as server:
        before = server.client.get("/api/analysis?wait=60000").json()
        assert before["analysis"] is None or "mean" not in str(before["analysis"]["readings"])
        put(server, "logs/run.csv", LOG.encode())
        after = server.client.get("/api/analysis?wait=60000").json()
        assert after["generation"] > before["generation"]
        readings = {one["name"]: one["read"]["value"] for one in after["analysis"]["readings"]}
        assert readings["mean"] == pytest.approx(1.5, rel=0.2)


def test_a_file_that_goes_away_while_it_is_read_is_no_fault_of_ours(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    gone = tmp_path / "logs" / "gone.csv"
    monkeypatch.setattr("lidoff.bench.routes.files.file_inside", lambda *_: gone)
    with running(tmp_path) as server:
        answer = server.client.get("/api/logs/gone.csv")
        assert (507, "output_refused") == (answer.status_code, answer.json()["code"])
        assert str(gone) == answer.json()["where"]


NAMED = '\n[logs.run]\nfile = "logs/run.csv"\nunits = { Strom = "mA" }\n'


def test_a_log_that_the_dossier_names_tells_its_sums_and_offers_readings(tmp_path: Path) -> None:
    with running(tmp_path, lamp_text(more=NAMED)) as server:
        put(server, "logs/run.csv", b"Zeit;Strom\n0;77,1\n1;77,0\n2;OL\n3;76,9\n10;76,8\n")
        told = server.client.get("/api/logs/run.csv").json()
        assert told["entry"] == "run"
        assert any("Strom: " in one and "Ah" in one for one in told["sums"])
        (offer,) = told["offers"]
        assert offer["name"] == "run_charge"
        assert offer["row"]["from_log"] == {"log": "run", "take": "charge", "channels": ["Strom"]}
        words = " ".join(told["remarks"])
        for about in ("Gap: line", "Overload: line 4", "Time unit"):
            assert about in words


def test_a_log_that_no_entry_names_offers_nothing_yet(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        put(server, "logs/run.csv", LOG.encode())
        told = server.client.get("/api/logs/run.csv").json()
        assert ("", []) == (told["entry"], told["offers"])
