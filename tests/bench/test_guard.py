"""What strangers may not do: foreign pages, foreign names, no key, too much, paths that lead out."""

import json
from pathlib import Path

import httpx
import pytest

from tests.bench.running import KEY, Running, running
from tests.dossier.build import lamp_text

HARMLESS = '<img src=x onerror="alert(1)">'


def test_without_the_key_nothing_is_told(shared: Running) -> None:
    for path in ("/", "/api/state", "/api/openapi.json", "/assets/x.js", "/api/events"):
        answer = httpx.get(f"{shared.client.base_url}{path}")
        assert (401, "wrong_key") == (answer.status_code, answer.json()["code"])
        assert "Night" not in answer.text
    wrong = httpx.get(f"{shared.client.base_url}/enter?key=guess")
    assert 401 == wrong.status_code
    assert "set-cookie" not in wrong.headers


@pytest.mark.parametrize("host", ["evil.test", "evil.test:80", "127.0.0.1:1", "", "127.0.0.1"])
def test_a_foreign_name_for_this_address_is_refused(shared: Running, host: str) -> None:
    answer = shared.client.get("/api/state", headers={"host": host})
    assert (421, "foreign_page") == (answer.status_code, answer.json()["code"])


@pytest.mark.parametrize("origin", ["http://evil.test", "null", "https://127.0.0.1", "http://localhost:1"])
def test_a_foreign_page_may_ask_and_change_nothing(shared: Running, origin: str) -> None:
    body = {"id": "a", "base": 0, "edit": {"kind": "set", "path": ["device", "title"], "value": "x"}}
    for answer in (
        shared.client.get("/api/state", headers={"origin": origin}),
        shared.client.post("/api/edits", json=body, headers={"origin": origin}),
    ):
        assert (403, "foreign_page") == (answer.status_code, answer.json()["code"])
    assert 0 == shared.bench.desk.revision


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_a_form_of_another_site_changes_nothing(shared: Running, site: str) -> None:
    answer = shared.client.post("/api/undo", json={"id": "a", "base": 0}, headers={"sec-fetch-site": site})
    assert (403, "foreign_page") == (answer.status_code, answer.json()["code"])


def test_our_own_page_may(shared: Running) -> None:
    own = str(shared.client.base_url).rstrip("/")
    assert 200 == shared.client.get("/api/state", headers={"origin": own}).status_code


def test_every_answer_says_what_it_may_do_in_a_browser(shared: Running) -> None:
    for path in ("/api/state", "/api/nothing", "/api/schematic.svg", "/enter?key=wrong"):
        headers = shared.client.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "script-src 'unsafe-inline'" not in policy
        assert ("nosniff", "no-referrer") == (headers["x-content-type-options"], headers["referrer-policy"])


def test_no_script_may_stand_in_our_pages(shared: Running) -> None:
    policy = shared.client.get("/api/state").headers["content-security-policy"]
    told = dict(piece.strip().split(" ", 1) for piece in policy.split(";"))
    assert ("'self'", "'self'", "'none'") == (told["script-src"], told["style-src"], told["base-uri"])


@pytest.mark.parametrize(
    "path",
    [
        "/api/photos/..%2Fdossier.toml",
        "/api/photos/%2e%2e%2fdossier.toml",
        "/api/photos/..%2F..%2Fetc%2Fpasswd/small.jpg",
        "/api/logs/..%2F..%2F..%2Fetc%2Fpasswd",
        "/api/logs/%00",
        "/api/document/..%2F..%2Fetc%2Fpasswd",
        "/api/document/journal.jsonl",
        "/..%2Fapp.py",
        "/%2e%2e/%2e%2e/bench.py",
        "/assets/..%2F..%2Fapp.py",
        "//etc/passwd",
    ],
)
def test_no_path_leads_out_of_the_dossier_or_the_pages(shared: Running, path: str) -> None:
    answer = shared.client.get(path)
    assert answer.status_code in (404, 422), answer.text
    assert "root:" not in answer.text
    assert "import" not in answer.text


def test_a_link_in_the_folder_that_leads_out_is_not_followed(tmp_path: Path) -> None:
    secret = tmp_path / "secret.csv"
    secret.write_text("t,U\n0,1\n", encoding="utf-8")
    folder = tmp_path / "dossier"
    (folder / "logs").mkdir(parents=True)
    (folder / "logs" / "run.csv").symlink_to(secret)
    with running(folder) as server:
        assert 404 == server.client.get("/api/logs/run.csv").status_code
        assert [] == server.state()["files"]


def test_too_large_a_request_is_refused_whether_it_tells_its_length_or_not(tmp_path: Path) -> None:
    def endless() -> object:
        for _ in range(40):
            yield b"x" * 1000

    with running(tmp_path, largest_request=5_000, largest_photo=20_000) as server:
        told = server.client.post("/api/edits", content=b"x" * 6_000)
        assert (413, "too_large") == (told.status_code, told.json()["code"])
        told = server.client.put("/api/files/photos/a.jpg", content=b"x" * 21_000)
        assert 413 == told.status_code
        untold = server.client.put("/api/files/photos/a.jpg", content=endless())  # type: ignore[arg-type]
        assert untold.status_code >= 400
        assert [] == list((tmp_path / "photos").glob("*"))


def test_a_name_that_is_a_script_stays_a_name_everywhere(tmp_path: Path) -> None:
    with running(tmp_path, lamp_text().replace("[parts.R1]", f"[parts.{json.dumps(HARMLESS)}]")) as server:
        refused = server.edit({"kind": "rename", "what": "part", "name": HARMLESS, "to": f"{HARMLESS}2"})
        assert "cannot be a reference" in refused.json()["what"]
        server.edit({"kind": "set", "path": ["device", "title"], "value": HARMLESS}).raise_for_status()
        schematic = server.client.get("/api/schematic.svg").text
        assert "&lt;img" in schematic
        report = server.client.get("/api/report.html")
        assert "sandbox" in report.headers["content-security-policy"]
        assert "&lt;img" in report.text
        for page in (schematic, report.text):
            assert HARMLESS not in page
            assert "<img src=x" not in page


def test_a_key_is_compared_in_full(shared: Running) -> None:
    for key in (KEY[:-1], KEY + "x", "", KEY.upper()):
        with httpx.Client(base_url=shared.client.base_url, headers={"x-bench-key": key}) as stranger:
            assert 401 == stranger.get("/api/state").status_code
