"""Desks on folders of their own for the tests of editing."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lidoff.dossier.desk import Desk
from lidoff.dossier.edits import Edit, Set
from lidoff.dossier.opening import open_desk
from tests.dossier.build import lamp_text

TIME = "2030-01-02T03:04:05+00:00"


def noon() -> str:
    """Give the one time of the tests."""
    return TIME


@contextmanager
def desk_in(folder: Path, text: str | None = None) -> Iterator[Desk]:
    """Open a desk on a folder, with a dossier put there first if there is none."""
    folder.mkdir(parents=True, exist_ok=True)
    file = folder / "dossier.toml"
    if not file.exists():
        file.write_text(lamp_text() if text is None else text, encoding="utf-8", newline="")
    desk = open_desk(folder, noon)
    try:
        yield desk
    finally:
        desk.close()


def titled(title: str) -> Edit:
    """Edit that gives the device a title."""
    return Set(path=("device", "title"), value=title)


def value_of(reference: str, value: str) -> Edit:
    """Edit that gives a part its value."""
    return Set(path=("parts", reference, "value"), value=value)
