"""The one door by which open families find their members."""

import importlib
import importlib.metadata
import sys
from importlib.metadata import EntryPoint
from pathlib import Path
from types import ModuleType

import pytest

from lidoff.catalogue import catalogue

PLAIN = """
from tests_family_member import Member
MEMBERS = (Member("{0}"),)
"""


class Member:
    def __init__(self, name: str) -> None:
        self.name = name


@pytest.fixture
def family(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """An empty family on disk; a test writes its modules."""
    for name in [name for name in sys.modules if name.startswith("tests_family")]:
        monkeypatch.delitem(sys.modules, name)
    shared = ModuleType("tests_family_member")
    shared.Member = Member  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "tests_family_member", shared)
    folder = tmp_path / "tests_family"
    folder.mkdir()
    (folder / "__init__.py").write_text("")
    monkeypatch.syspath_prepend(tmp_path)
    importlib.invalidate_caches()
    return importlib.import_module("tests_family")


def write(family: ModuleType, name: str, text: str) -> None:
    (Path(family.__path__[0]) / f"{name}.py").write_text(text)


def test_members_come_sorted_by_name_from_every_module(family: ModuleType) -> None:
    write(family, "first", PLAIN.format("zener"))
    write(family, "second", PLAIN.format("bridge"))
    assert ["bridge", "zener"] == list(catalogue(family, of=Member))


def test_the_result_is_read_only(family: ModuleType) -> None:
    write(family, "first", PLAIN.format("zener"))
    with pytest.raises(TypeError, match="does not support item assignment"):
        catalogue(family, of=Member)["other"] = Member("other")  # type: ignore[index]


def test_a_taken_name_is_refused_and_both_files_are_named(family: ModuleType) -> None:
    write(family, "first", PLAIN.format("zener"))
    write(family, "second", PLAIN.format("zener"))
    with pytest.raises(
        TypeError, match=r"tests_family\.second: the name 'zener' is taken by tests_family\.first"
    ):
        catalogue(family, of=Member)


def test_a_member_of_the_wrong_type_is_refused(family: ModuleType) -> None:
    write(family, "first", "MEMBERS = (3,)")
    with pytest.raises(TypeError, match=r"tests_family\.first: 3 is not a Member"):
        catalogue(family, of=Member)


def test_a_module_without_members_is_refused(family: ModuleType) -> None:
    write(family, "first", "")
    with pytest.raises(TypeError, match=r"tests_family\.first: has no tuple MEMBERS"):
        catalogue(family, of=Member)


def test_a_list_of_members_is_refused(family: ModuleType) -> None:
    write(family, "first", "MEMBERS = []")
    with pytest.raises(TypeError, match="has no tuple MEMBERS"):
        catalogue(family, of=Member)


def test_members_from_another_package_come_by_the_same_door(
    family: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(family, "first", PLAIN.format("zener"))
    outside = ModuleType("tests_family_outside")
    outside.MEMBERS = (Member("avalanche"),)  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "tests_family_outside", outside)

    def entry_points(*, group: str) -> list[EntryPoint]:
        return (
            [EntryPoint(name="more", value="tests_family_outside", group=group)]
            if group == "tests_family"
            else []
        )

    monkeypatch.setattr(importlib.metadata, "entry_points", entry_points)
    assert ["avalanche", "zener"] == list(catalogue(family, of=Member))


def test_an_outsider_cannot_take_the_name_of_ours(
    family: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(family, "first", PLAIN.format("zener"))
    outside = ModuleType("tests_family_outside")
    outside.MEMBERS = (Member("zener"),)  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "tests_family_outside", outside)
    monkeypatch.setattr(
        importlib.metadata,
        "entry_points",
        lambda *, group: [EntryPoint(name="more", value="tests_family_outside", group=group)],
    )
    with pytest.raises(
        TypeError, match=r"tests_family_outside: the name 'zener' is taken by tests_family\.first"
    ):
        catalogue(family, of=Member)
