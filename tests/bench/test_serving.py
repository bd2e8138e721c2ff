"""The command: it says where the page is, ends cleanly, and says in one line why it cannot start."""

import re
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from lidoff.bench import built_pages, open_socket
from lidoff.cli import main
from lidoff.errors import OutputRefused
from tests.dossier.build import lamp_text

PAGES = Path(built_pages.__file__).parent / "pages"
"""Where the package's own pages lie, if they were built."""
BEGIN = "import sys; from lidoff.cli import main; sys.exit(main(sys.argv[1:]))"


@pytest.fixture
def pages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Built pages of one line each, in place of the package's own."""
    folder = tmp_path / "pages"
    (folder / "assets").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html><title>bench</title>", encoding="utf-8")
    (folder / "assets" / "index.js").write_text("'use strict'", encoding="utf-8")
    monkeypatch.setattr(built_pages, "pages_folder", lambda: folder)
    return folder


@pytest.fixture
def dossier(tmp_path: Path) -> Path:
    """Folder of the lamp's dossier."""
    folder = tmp_path / "lamp"
    folder.mkdir()
    (folder / "dossier.toml").write_text(lamp_text(), encoding="utf-8")
    return folder


@pytest.fixture
def started(dossier: Path) -> Iterator[tuple["subprocess.Popen[str]", str]]:
    """The command running, and the address that it printed."""
    if not (PAGES / "index.html").is_file():
        pytest.skip("the pages are not built")
    words = [sys.executable, "-c", BEGIN, "bench", str(dossier), "--no-open"]
    process = subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    assert process.stdout is not None
    address = next(line.split()[1] for line in process.stdout if line.startswith("page"))
    yield process, address
    process.kill()
    process.communicate()


@pytest.mark.journey
@pytest.mark.parametrize("end", [signal.SIGINT, signal.SIGTERM])
def test_the_command_serves_until_it_is_told_to_end(
    started: tuple["subprocess.Popen[str]", str], dossier: Path, end: signal.Signals
) -> None:
    process, address = started
    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/enter\?key=[\w-]{20,}", address)
    with httpx.Client(follow_redirects=True, base_url=address.partition("/enter")[0], timeout=30.0) as page:
        assert "<!doctype html>" in page.get(address).text
        edit = {"kind": "set", "path": ["device", "title"], "value": "lantern"}
        page.post("/api/edits", json={"id": "a", "base": 0, "edit": edit}).raise_for_status()
        with page.stream("GET", "/api/events") as stream:  # a page that listens keeps nobody from ending
            assert "retry: 1000" == next(stream.iter_lines())
            process.send_signal(end)
            begun = time.monotonic()
            _, errors = process.communicate(timeout=20.0)
    assert time.monotonic() - begun < 15.0
    assert "" == errors
    assert '"lantern"' in (dossier / "dossier.toml").read_text(encoding="utf-8")


def test_a_taken_port_is_told_or_the_next_one_used() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(OutputRefused, match=f"nothing can listen at 127.0.0.1, port {port}"):
            open_socket("127.0.0.1", port, fixed=True)
        other = open_socket("127.0.0.1", port, fixed=False)
        assert other.getsockname()[1] != port
        other.close()


@pytest.mark.parametrize("port", [-1, 65_536])
def test_a_number_that_no_port_has_is_told(port: int) -> None:
    with pytest.raises(OutputRefused, match=f"port {port}"):
        open_socket("127.0.0.1", port, fixed=True)


def test_pages_that_were_not_built_are_told_with_the_command(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(built_pages, "pages_folder", lambda: tmp_path / "none")
    assert 2 == main(["bench", str(tmp_path / "x"), "--no-open"])
    assert "python scripts/build_pages.py" in capsys.readouterr().err
    assert not (tmp_path / "x").exists()


def test_files_of_the_pages_are_kept_by_the_browser_and_the_page_is_not(pages: Path) -> None:
    script, index = built_pages.page_file("assets/index.js"), built_pages.page_file("index.html")
    assert ("text/javascript; charset=utf-8", True) == (
        script.headers["content-type"],
        "immutable" in script.headers["cache-control"],
    )
    assert "no-cache" == index.headers["cache-control"]
    (pages.parent / "secret").write_text("x", encoding="utf-8")
    for path in ("../secret", "assets/../../secret", "/etc/passwd", "assets", "", "nothing"):
        with pytest.raises(Exception, match="there is no page"):
            built_pages.page_file(path)
