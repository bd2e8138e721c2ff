"""Files sent in that never arrive whole, or are more than the bench takes: nothing of them stays, and the bench goes on."""

import io
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from PIL import Image

from tests.bench.running import KEY, Running, running
from tests.bench.test_files import LOG, photo, put


def left_in(folder: Path) -> list[Path]:
    """All that uploads left, finished or not."""
    return sorted(file for name in ("photos", "logs") for file in (folder / name).rglob("*"))


def cut_off(server: Running, path: str, body: bytes, *, told: int | None) -> None:
    """Send the beginning of a file, as so long or in pieces, then go away without a word."""
    host, port = server.client.base_url.host, server.client.base_url.port
    assert port is not None
    length = f"content-length: {told}" if told is not None else "transfer-encoding: chunked"
    head = f"PUT /api/files/{path} HTTP/1.1\r\nhost: {host}:{port}\r\nx-bench-key: {KEY}\r\nx-edit-id: cut\r\n{length}\r\n\r\n"
    with socket.create_connection((host, port)) as line:
        line.sendall(head.encode())
        line.sendall(body if told is not None else b"%x\r\n%s\r\n" % (len(body), body))
        time.sleep(0.2)
        # Cut, not closed: the server hears of it by a reset.
        line.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, b"\x01\x00\x00\x00\x00\x00\x00\x00")


def once_empty(folder: Path, seconds: float = 20.0) -> None:
    """Wait until nothing is left."""
    until = time.monotonic() + seconds
    while left_in(folder):
        assert time.monotonic() < until, left_in(folder)
        time.sleep(0.02)


@pytest.mark.parametrize(("path", "content"), [("photos/a.jpg", photo()), ("logs/run.csv", LOG.encode())])
@pytest.mark.parametrize("tells", [True, False])
def test_an_upload_that_is_cut_off_leaves_nothing(
    tmp_path: Path, path: str, content: bytes, tells: bool
) -> None:
    with running(tmp_path) as server:
        cut_off(server, path, content[:-7], told=len(content) if tells else None)
        once_empty(tmp_path)
        assert 0 == server.bench.desk.revision
        # The same file, sent again under the same name of the request, is taken.
        assert 200 == put(server, path, content, "cut")["status"]
        assert content == (tmp_path / path).read_bytes()


def test_what_is_larger_than_is_taken_leaves_nothing(tmp_path: Path) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(50):
            yield b"x" * 1000

    with running(tmp_path, largest_photo=20_000, largest_log=10_000) as server:
        for path, most in (("photos/a.jpg", 20_000), ("logs/run.csv", 10_000)):
            answer = put(server, path, b"x" * (most + 1))
            assert (413, "too_large") == (answer["status"], answer["code"])
            try:
                untold = server.client.put(f"/api/files/{path}", content=pieces(), headers={"x-edit-id": "b"})
                assert (413, "too_large") == (untold.status_code, untold.json()["code"])
            except httpx.TransportError:
                pass  # still sending when the line was shut
            once_empty(tmp_path)
        assert 200 == put(server, "logs/run.csv", LOG.encode())["status"]


def test_a_photo_of_too_many_pixels_is_refused_before_it_is_unpacked(tmp_path: Path) -> None:
    out = io.BytesIO()
    Image.new("1", (20_000, 20_000)).save(out, "PNG")  # 400 megapixels of one colour
    assert len(out.getvalue()) < 1_000_000
    with running(tmp_path) as server:
        answer = put(server, "photos/a.png", out.getvalue())
        assert (415, 0) == (answer["status"], server.bench.desk.revision), answer
        assert "400 megapixels" in str(answer["what"])
        once_empty(tmp_path)


def test_what_is_no_photo_is_told_by_the_name_that_its_sender_knows(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        answer = put(server, "photos/notphoto.jpg", b"this is a text\n")
        assert ("this is no JPEG, PNG, TIFF or HEIC picture", "notphoto.jpg") == (
            answer["what"],
            answer["where"],
        )
        assert str(tmp_path) not in str(answer)
        assert answer["remedy"]
        once_empty(tmp_path)


def test_a_request_that_stops_in_its_middle_holds_up_no_other(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        base = server.client.base_url
        assert base.port is not None
        lines = [socket.create_connection((base.host, base.port)) for _ in range(50)]
        try:
            for line in lines:
                line.sendall(
                    f"PUT /api/files/photos/a.jpg HTTP/1.1\r\nhost: {base.host}:{base.port}\r\nx-bench-key: {KEY}\r\n"
                    "content-length: 1000\r\n\r\nhalf".encode()
                )
            title: dict[str, object] = {"kind": "set", "path": ["device", "title"], "value": "lantern"}
            server.edit(title).raise_for_status()
            assert "lantern" == server.state()["title"]
        finally:
            for line in lines:
                line.close()
        once_empty(tmp_path)
