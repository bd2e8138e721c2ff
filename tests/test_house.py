"""Habits of the whole package that no single room can hold by itself."""

import ast
import importlib
import importlib.metadata
import pkgutil
import re
import shutil
import subprocess
import sys
import sysconfig
import tomllib
from pathlib import Path

import pytest

import lidoff

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "lidoff"
FILES = sorted(SOURCE.rglob("*.py"))
ROOMS = sorted(f"lidoff.{info.name}" for info in pkgutil.iter_modules(lidoff.__path__))

# Files that hold a table and grow with it, so that length says nothing about their order.
TABLES: set[str] = set()


def named(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


def test_rooms_import_only_the_rooms_below_them() -> None:
    tool = shutil.which("lint-imports", path=sysconfig.get_path("scripts"))
    assert tool is not None, "import-linter is not installed beside this Python"
    done = subprocess.run([tool, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("room", ["lidoff", *ROOMS])
def test_a_room_lists_its_public_names_sorted(room: str) -> None:
    listed = importlib.import_module(room).__all__
    # Constants, then classes, then functions, as the linter sorts them.
    by_look = sorted(set(listed), key=lambda name: (not name.isupper(), not name[0].isupper(), name))
    assert by_look == list(listed)


@pytest.mark.parametrize("room", ["lidoff", *ROOMS])
def test_every_listed_name_can_be_had(room: str) -> None:
    module = importlib.import_module(room)
    assert [] == [name for name in module.__all__ if not hasattr(module, name)]


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_lists_every_name_that_it_re_exports(room: str) -> None:
    module = importlib.import_module(room)
    tree = ast.parse(Path(str(module.__file__)).read_text(encoding="utf-8"))
    if not hasattr(module, "__path__"):
        defined = [node for node in tree.body if isinstance(node, ast.FunctionDef | ast.ClassDef)]
        names = {node.name for node in defined if not node.name.startswith("_")}
    else:
        imports = [node for node in tree.body if isinstance(node, ast.ImportFrom)]
        aliases = [alias for node in imports if str(node.module).startswith("lidoff") for alias in node.names]
        names = {alias.asname or alias.name for alias in aliases}
    assert set() == names - set(module.__all__)


@pytest.mark.parametrize("room", ["lidoff", *ROOMS])
def test_a_room_says_what_it_is(room: str) -> None:
    assert importlib.import_module(room).__doc__


def test_help_loads_no_room_but_the_commands() -> None:
    program = "import sys, lidoff.cli\ntry: lidoff.cli.main(['--help'])\nfinally: print(*sys.modules, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    loaded = done.stderr.split()
    assert "lidoff.cli.entry" in loaded
    ours = {name for name in loaded if name.startswith("lidoff.") and not name.startswith("lidoff.cli")}
    assert set() == ours
    slow = {
        "numpy",
        "scipy",
        "networkx",
        "jinja2",
        "typst",
        "dataclasses",
        "inspect",
        "importlib.metadata",
        "pathlib",
    }
    assert set() == slow & set(loaded)


@pytest.mark.parametrize("file", FILES, ids=named)
def test_a_file_is_short_enough_to_be_read_at_one_go(file: Path) -> None:
    lines = len(file.read_text(encoding="utf-8").splitlines())
    assert lines <= 400 or named(file) in TABLES, f"{lines} lines"


@pytest.mark.parametrize("file", FILES, ids=named)
def test_nothing_is_left_to_be_done_later(file: Path) -> None:
    marks = re.findall(r"\b(?:TODO|FIXME|XXX|HACK)\b|NotImplementedError", file.read_text(encoding="utf-8"))
    assert [] == marks


def calls_print(file: Path) -> bool:
    nodes = ast.walk(ast.parse(file.read_text(encoding="utf-8")))
    return any(
        isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
        for node in nodes
    )


def test_only_the_commands_print() -> None:
    assert {"src/lidoff/cli"} >= {named(file)[: len("src/lidoff/cli")] for file in FILES if calls_print(file)}


def test_every_installed_package_is_pinned() -> None:
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    pinned = {re.split("[=; ]", line)[0] for line in settings["tool"]["uv"]["constraint-dependencies"]}
    installed = {
        re.sub(r"[-_.]+", "-", package.name).lower() for package in importlib.metadata.distributions()
    }
    assert set() == installed - pinned - {"lidoff"}


def names_set_in(script: str) -> set[str]:
    return set(
        re.findall(r"^\s*(?:export )?([a-z_]+)=", (ROOT / script).read_text(encoding="utf-8"), re.MULTILINE)
    )


@pytest.mark.parametrize("script", ["check", "lidoff"])
def test_a_script_shares_no_variable_with_what_sets_it_up(script: str) -> None:
    # A shell has one set of names: the setting up once emptied the list of steps, and nothing was checked.
    assert set() == names_set_in(script) & names_set_in("scripts/environment.sh")


def test_an_unknown_step_of_the_checks_is_refused() -> None:
    done = subprocess.run([ROOT / "check", "test"], capture_output=True, text=True, check=False)
    assert 2 == done.returncode
    assert 'there is no step "test"' in done.stderr
