"""What is packed: everything that lidoff needs where it is installed, and nothing else."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from fnmatch import fnmatch
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
UV = ROOT / ".tools" / "bin" / "uv"


def tracked(*patterns: str) -> set[str]:
    """Files that the repository holds below some folders."""
    told = subprocess.run(
        ["git", "ls-files", "-z", "--cached", *patterns],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if told.returncode or not told.stdout:
        pytest.skip("this is no checkout of the repository")
    return {file for file in told.stdout.split("\0") if file and (ROOT / file).is_file()}


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> tuple[set[str], set[str]]:
    """Names in the wheel and, without its own folder, in the archive of the sources."""
    if not UV.is_file() or not (ROOT / "src" / "lidoff" / "bench" / "pages" / "index.html").is_file():
        pytest.skip("needs what ./check and ./check pages set up")
    place = tmp_path_factory.mktemp("packed")
    script = (
        "import os, sys; sys.path[:0] = ['scripts']; import build_pages; build_pages.build_pages = lambda **_: False; "
        "import wheel_backend; wheel_backend.build_pages = build_pages.build_pages; "
        "wheel_backend.build_wheel(sys.argv[1]); wheel_backend.build_sdist(sys.argv[1])"
    )
    backend = PROJECT["build-system"]["requires"][0]
    done = subprocess.run(
        [
            str(UV), "run", "--no-project", "--quiet", "--python", sys.executable, "--with", backend,
            "python", "-c", script, str(place),
        ],
        cwd=ROOT, capture_output=True, text=True, check=False, env={**os.environ, "UV_NO_SYNC": "1"},
    )  # fmt: skip
    if done.returncode:
        pytest.skip(f"the builder cannot be fetched here: {done.stderr[-200:]}")
    with zipfile.ZipFile(next(place.glob("*.whl"))) as wheel:
        in_wheel = set(wheel.namelist())
    with tarfile.open(next(place.glob("*.tar.gz"))) as archive:
        in_sources = {name.partition("/")[2] for name in archive.getnames()}
    return in_wheel, in_sources


def test_the_wheel_holds_every_file_of_the_package_and_the_demos(built: tuple[set[str], set[str]]) -> None:
    package = {file.removeprefix("src/") for file in tracked("src/lidoff")}
    left_out = ("demos/*.py", "demos/truth/*", "demos/layouts/*")
    demos = {f"lidoff/{file}" for file in tracked("demos") if not any(fnmatch(file, one) for one in left_out)}

    assert not (package | demos) - built[0]


def test_the_wheel_holds_the_pages_and_nothing_of_how_they_are_built(
    built: tuple[set[str], set[str]],
) -> None:
    assert "lidoff/bench/pages/index.html" in built[0]
    assert not [name for name in built[0] if "node_modules" in name or name.endswith((".svelte", ".ts"))]
    outer = {name.split("/")[0] for name in built[0]}
    assert outer == {"lidoff", f"lidoff-{PROJECT['project']['version']}.dist-info"}


def test_the_sources_hold_what_is_needed_to_build_and_to_check(built: tuple[set[str], set[str]]) -> None:
    for name in (
        "check",
        "lidoff",
        "LICENSE",
        "README.md",
        "CHANGELOG.md",
        "CONTRIBUTING.md",
        "pyproject.toml",
        "web/package.json",
    ):
        assert name in built[1]
    assert not tracked("src", "tests", "scripts", "docs", "demos") - built[1]
    assert not [name for name in built[1] if name.startswith((".venv/", ".tools/", "lidoff-demo/", "build/"))]


def test_the_changelog_begins_with_the_version_that_the_package_has() -> None:
    version = PROJECT["project"]["version"]
    headings = re.findall(
        r"^## (\S+?)[,\n]", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), re.MULTILINE
    )

    assert version == headings[0]
    assert all(re.fullmatch(r"\d+\.\d+\.\d+", heading) for heading in headings)


def test_the_pinned_versions_name_no_host() -> None:
    pinned = PROJECT["tool"]["uv"]["constraint-dependencies"]

    assert all(re.fullmatch(r"[a-z0-9-]+==[^/@:]+?(?: ; .*)?", one) for one in pinned), pinned
    assert "uv.lock" not in tracked("uv.lock", "pyproject.toml")


def test_the_hooks_before_a_commit_are_steps_of_the_checks() -> None:
    hooks = (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")
    entries = re.findall(r"^ +entry: (.+)$", hooks, re.MULTILINE)
    steps = re.search(r'^steps="(.*)"$', (ROOT / "check").read_text(encoding="utf-8"), re.MULTILINE)

    assert steps is not None
    assert entries
    assert all(entry.removeprefix("./check ") in steps[1].split() for entry in entries)
