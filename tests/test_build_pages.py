"""How the workbench's pages are built into the package; Node itself is not needed here."""

import json
import re
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
WEB = ROOT / "web"
sys.path.append(str(ROOT / "scripts"))

import build_pages  # type: ignore[import-not-found]  # noqa: E402


def sources(folder: Path, text: str = "one") -> Path:
    web = folder / "web"
    (web / "src").mkdir(parents=True)
    (web / "src" / "main.ts").write_text(text, encoding="utf-8")
    return web


@pytest.fixture
def alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(build_pages, "ROOT", tmp_path)
    monkeypatch.setattr(build_pages, "FONTS", tmp_path / "fonts")
    return sources(tmp_path)


def test_a_changed_source_changes_the_fingerprint(alone: Path) -> None:
    before = build_pages.fingerprint(alone)
    (alone / "src" / "main.ts").write_text("two", encoding="utf-8")
    assert before != build_pages.fingerprint(alone)


def test_a_renamed_source_changes_the_fingerprint(alone: Path) -> None:
    before = build_pages.fingerprint(alone)
    (alone / "src" / "main.ts").rename(alone / "src" / "other.ts")
    assert before != build_pages.fingerprint(alone)


@pytest.mark.parametrize("folder", ["node_modules", "tests"])
def test_what_is_not_built_from_does_not_change_the_fingerprint(alone: Path, folder: str) -> None:
    before = build_pages.fingerprint(alone)
    (alone / folder).mkdir()
    (alone / folder / "more.ts").write_text("more", encoding="utf-8")
    assert before == build_pages.fingerprint(alone)


def test_the_lock_file_names_no_host_that_packages_come_from() -> None:
    lock = json.loads((WEB / "package-lock.json").read_text(encoding="utf-8"))
    assert [] == [name for name, told in lock["packages"].items() if "resolved" in told]


def test_the_lock_file_names_no_address_at_all() -> None:
    assert "://" not in (WEB / "package-lock.json").read_text(encoding="utf-8")


def test_every_package_of_the_pages_is_pinned_exactly() -> None:
    told = json.loads((WEB / "package.json").read_text(encoding="utf-8"))
    versions = {**told["dependencies"], **told["devDependencies"]}
    assert {} == {
        name: version for name, version in versions.items() if not re.fullmatch(r"\d+\.\d+\.\d+", version)
    }


def test_the_wheel_takes_the_built_pages_in() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert "/src/lidoff/bench/pages" in settings["tool"]["hatch"]["build"]["targets"]["wheel"]["artifacts"]
    assert "wheel_backend" == settings["build-system"]["build-backend"]


def test_the_pages_forbid_themselves_scripts_and_styles_inside_the_document() -> None:
    for page in ("index.html", "phone.html"):
        text = (WEB / page).read_text(encoding="utf-8")
        assert [] == re.findall(r"<style|<script(?![^>]*src=)|\son\w+=|style=", text)
