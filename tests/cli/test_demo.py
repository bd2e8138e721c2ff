"""The command that works through an invented device."""

import subprocess
import webbrowser
from pathlib import Path

import pytest

from lidoff.cli import main
from lidoff.cli.commands.demo import FIRST
from lidoff.cli.screen import has_screen
from lidoff.dossier import demos

ROOT = Path(__file__).parents[2]
NAMES = demos.demo_names(demos.demos_folder())


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Addresses that a browser was asked for, on a machine with a screen."""
    seen: list[str] = []
    monkeypatch.setenv("DISPLAY", ":0")
    monkeypatch.setattr(webbrowser, "open", seen.append)
    return seen


@pytest.fixture
def small_demo(lamp: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Name of a demo that takes little time."""
    monkeypatch.setattr(demos, "demos_folder", lambda: lamp.parent)
    return lamp.name


def test_the_demo_that_is_run_unasked_is_there() -> None:
    assert FIRST in NAMES


@pytest.mark.parametrize("name", NAMES)
def test_a_demo_says_that_it_is_invented(name: str) -> None:
    text = (demos.demos_folder() / name / "dossier.toml").read_text(encoding="utf-8")
    assert "\ninvented = " in text


def test_a_demo_ends_with_a_report_and_says_where(
    small_demo: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert 0 == main(["demo", small_demo, "--into", str(tmp_path / "mine"), "--no-open"])
    told = capsys.readouterr().out
    page = tmp_path / "mine" / "out" / "report.html"
    assert page.is_file()
    assert f" {page}\n" in told
    assert f" {page.as_uri()}\n" in told
    assert "“1 LED” (the box, back): borne out" in told


def test_without_a_folder_a_demo_goes_where_the_person_is(
    small_demo: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    main(["demo", small_demo, "--no-open"])
    assert (tmp_path / "lidoff-demo" / small_demo / "out" / "report.html").is_file()


def test_the_report_is_opened_where_there_is_a_screen(
    small_demo: str, tmp_path: Path, opened: list[str]
) -> None:
    main(["demo", small_demo, "--into", str(tmp_path / "mine")])
    assert [(tmp_path / "mine" / "out" / "report.html").as_uri()] == opened


def test_the_report_stays_closed_when_asked(small_demo: str, tmp_path: Path, opened: list[str]) -> None:
    main(["demo", small_demo, "--into", str(tmp_path / "mine"), "--no-open"])
    assert [] == opened


def test_a_changed_demo_is_used_as_it_is_and_told(
    small_demo: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["demo", small_demo, "--into", str(tmp_path / "mine"), "--no-open"]
    main(words)
    file = tmp_path / "mine" / "dossier.toml"
    file.write_text(file.read_text(encoding="utf-8").replace('"1 LED"', '"one LED"'), encoding="utf-8")
    capsys.readouterr()
    assert 0 == main(words)
    told = capsys.readouterr().out
    assert told.startswith(f"kept  {file}")
    assert "“one LED” (the box, back): borne out" in told


def test_the_demos_can_be_named(small_demo: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert 0 == main(["demo", "--list"])
    assert f"{small_demo}\n" == capsys.readouterr().out


@pytest.mark.parametrize(
    ("environment", "platform", "there"),
    [
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({}, "linux", False),
        ({"DISPLAY": ""}, "linux", False),
        ({}, "darwin", True),
        ({"SSH_CONNECTION": "there"}, "darwin", False),
    ],
)
def test_a_screen_is_told_by_the_environment(environment: dict[str, str], platform: str, there: bool) -> None:
    assert there is has_screen(environment, platform)


@pytest.mark.journey
@pytest.mark.parametrize("name", NAMES)
def test_the_first_command_of_the_readme_makes_a_report(name: str, tmp_path: Path) -> None:
    words = [str(ROOT / "lidoff"), "demo", name, "--no-open"]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert (0, "") == (done.returncode, done.stderr)
    out = tmp_path / "lidoff-demo" / name / "out"
    assert (out / "report.html").read_text(encoding="utf-8").startswith("<!doctype html>")
    assert b"%PDF" == (out / "report.pdf").read_bytes()[:4]
    assert f"lidoff-demo/{name}/out/report.html\n" in done.stdout
