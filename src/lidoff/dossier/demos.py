"""The invented dossiers that come with lidoff, and copying one to where a person can change it."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path
from typing import NamedTuple

from lidoff.dossier.loading import FILE_NAME
from lidoff.errors import LidoffError, OutputRefused, UnknownName

__all__ = ["CopiedDemo", "copy_demo", "demo_names", "demos_folder"]

# What lies beside a dossier but is no part of it: results, and the compiled form of the script that made the readings.
LEFT_BEHIND = ("out", "__pycache__")


class CopiedDemo(NamedTuple):
    """A demo dossier in a folder of the person's own.

    Attributes
    ----------
    folder : Path
        The dossier.
    kept : tuple of Path
        Files that were there with other contents, and were left alone.
    """

    folder: Path
    kept: tuple[Path, ...]


def demos_folder() -> Traversable:
    """Folder of the demo dossiers: inside an installed lidoff, or beside its sources.

    Returns
    -------
    Traversable
        It has one folder for each demo.

    Raises
    ------
    LidoffError
        There is neither, which means that the installation is incomplete.
    """
    package = files("lidoff")
    beside_sources = Path(str(package)).parents[1] / "demos"
    for folder in (package / "demos", beside_sources):
        if folder.is_dir():
            return folder
    raise LidoffError(
        "the demo dossiers are missing from this installation",
        where=str(package),
        remedy="install lidoff again, or start it from its source folder",
    )


def demo_names(demos: Traversable) -> tuple[str, ...]:
    """Names of the demos, sorted.

    Parameters
    ----------
    demos : Traversable
        As `demos_folder` gives it.

    Returns
    -------
    tuple of str
        Each is a folder that holds a dossier.
    """
    return tuple(sorted(entry.name for entry in demos.iterdir() if (entry / "dossier.toml").is_file()))


def copy_demo(demos: Traversable, name: str, folder: Path) -> CopiedDemo:
    """Copy one demo dossier; a file that a person has changed there is never written over.

    Parameters
    ----------
    demos : Traversable
        As `demos_folder` gives it.
    name : str
        One of `demo_names`.
    folder : Path
        Where to; made if it is not there.

    Returns
    -------
    CopiedDemo
        The folder and what was left alone in it.

    Raises
    ------
    UnknownName
        There is no such demo.
    OutputRefused
        Another dossier lies there, and nothing was copied. Or a file cannot be put there; those before are, and copying again
        goes on from there.
    """
    known = demo_names(demos)
    if name not in known:
        raise UnknownName(f"there is no demo {name!r}", name=name, known=known)
    _check_nobody_elses(demos / name, folder)
    kept = []
    for source, inside in _files_below(demos / name, Path()):
        target = folder / inside
        contents = source.read_bytes()
        try:
            if not target.exists():
                _put(target, contents)
            elif target.read_bytes() != contents:
                kept.append(target)
        except OSError as error:
            raise OutputRefused(
                f"{inside.as_posix()} cannot be copied here ({error.strerror or error})",
                where=str(folder),
                remedy="make room on the disk or check the permissions, or name another folder",
            ) from None
    return CopiedDemo(folder, tuple(kept))


def _check_nobody_elses(demo: Traversable, folder: Path) -> None:
    """Refuse a folder with the dossier of another device: its boards and logs would be mixed with the demo's."""
    there = folder / FILE_NAME
    if not there.is_file():
        return
    if _model(there) != _model(demo / FILE_NAME):
        raise OutputRefused(
            "another dossier lies here, with which the demo would be mixed",
            where=str(folder),
            remedy="name an empty or a new folder with --into FOLDER",
        )


def _model(file: Traversable) -> object:
    """What a dossier says its device is; None where it cannot be read."""
    try:
        told = tomllib.loads(file.read_bytes().decode()).get("device")
    except (OSError, ValueError):
        return None
    return told.get("model") if isinstance(told, dict) else None


def _put(target: Path, contents: bytes) -> None:
    """Write a file whole or not at all: one that is cut short would be taken for a changed one the next time."""
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f".{target.name}.part")
    try:
        beside.write_bytes(contents)
        beside.replace(target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def _files_below(folder: Traversable, inside: Path) -> Iterator[tuple[Traversable, Path]]:
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_file():
            yield entry, inside / entry.name
        elif entry.name not in LEFT_BEHIND:
            yield from _files_below(entry, inside / entry.name)
