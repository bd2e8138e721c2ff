"""Files of the dossier's folder: which there are, which may be read, and under which name a new one is put."""

from __future__ import annotations

import os
import re
import secrets
from collections.abc import AsyncIterator, Mapping
from contextlib import suppress
from pathlib import Path, PurePosixPath
from typing import Literal

from lidoff.bench.models import DossierFile
from lidoff.dossier.inside import lies_inside
from lidoff.errors import DossierError, ImpossibleValue, OutputRefused, UnknownName

__all__ = [
    "FOLDERS",
    "LOOKED_AT",
    "drop_unfinished",
    "file_inside",
    "files_of",
    "keep",
    "kind_of_file",
    "receive",
    "safe_name",
]

LOOKED_AT = "-look"
"""Put behind the name that an upload has while it is looked at as what it says it is."""
FOLDERS = ("photos", "logs")
"""Folders that files are taken into."""
_PHOTOS = {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic", ".heif"}
_UNSAFE = re.compile(r"[^A-Za-z0-9._-]+")
_MOST = 2000


def kind_of_file(path: str) -> Literal["photo", "log", "other"]:
    """Sort of a file, by its ending."""
    ending = PurePosixPath(path).suffix.lower()
    return "photo" if ending in _PHOTOS else "log" if ending == ".csv" else "other"


def files_of(folder: Path, document: Mapping[str, object]) -> list[DossierFile]:
    """Photos and logs in the folder, with those that the dossier names.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    document : mapping
        Plain data of ``dossier.toml``.

    Returns
    -------
    list of DossierFile
        By path.
    """
    told = set(_told(document))
    found = []
    for name in FOLDERS:
        inside = folder / name
        if not inside.is_dir() or inside.is_symlink():
            continue
        with os.scandir(inside) as every:
            entries = sorted(every, key=lambda entry: entry.name)[:_MOST]
        for entry in entries:
            if entry.is_file(follow_symlinks=False) and not entry.name.startswith("."):
                try:
                    status = entry.stat(follow_symlinks=False)
                except OSError:
                    continue  # taken away at this very moment
                path = f"{name}/{entry.name}"
                found.append(
                    DossierFile(
                        path=path,
                        bytes=status.st_size,
                        modified=status.st_mtime,
                        kind=kind_of_file(path),
                        told=path in told,
                    )
                )
    return found


def _told(document: Mapping[str, object]) -> list[str]:
    rows: list[object] = []
    for name in ("photos", "logs"):
        table = document.get(name)
        rows.extend(
            table.values() if isinstance(table, Mapping) else table if isinstance(table, list) else ()
        )
    return [str(row["file"]) for row in rows if isinstance(row, Mapping) and "file" in row]


def file_inside(folder: Path, path: str) -> Path:
    """File of the dossier by its path inside the folder.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    path : str
        Such as ``photos/front.jpg``.

    Returns
    -------
    Path
        An ordinary file that lies inside.

    Raises
    ------
    UnknownName
        It leads outside, is no ordinary file, or is not there.
    """
    pure = PurePosixPath(path)
    whole = folder.joinpath(*pure.parts)
    bad = pure.is_absolute() or ".." in pure.parts or "\\" in path or "\0" in path or not pure.parts
    if bad or pure.parts[0] not in FOLDERS or any(part.startswith(".") for part in pure.parts):
        raise UnknownName(
            f"{path!r} is no photo or log of this dossier", remedy="name a file under photos/ or logs/"
        )
    try:
        inside = whole.resolve(strict=True).is_relative_to(folder.resolve()) and whole.is_file()
    except (OSError, RuntimeError):
        inside = False
    if not inside:
        raise UnknownName(f"there is no {path!r} in this dossier", remedy="look at the list of its files")
    return whole


def safe_name(name: str) -> str:
    """Name of a file that can lie in every file system, made from the one that was given.

    Parameters
    ----------
    name : str
        As the browser tells it.

    Returns
    -------
    str
        Letters, digits, dots, dashes; the ending in small letters.

    Raises
    ------
    ImpossibleValue
        The ending is none of a photo or a log.
    """
    bare = PurePosixPath(name.replace("\\", "/")).name
    stem, ending = PurePosixPath(bare).stem, PurePosixPath(bare).suffix.lower()
    if kind_of_file(f"x{ending}") == "other":
        raise ImpossibleValue(
            f"{bare!r} does not end as a photo or a log does",
            remedy="give a JPEG, PNG, TIFF or HEIC photo, or a log as .csv",
        )
    stem = _UNSAFE.sub("-", stem).strip("-.") or "file"
    return stem[:80] + ending


async def receive(body: AsyncIterator[bytes], folder: Path, inside: str, name: str, limit: int) -> Path:
    """Take a file's bytes into a folder of the dossier, under a name of its own until it is whole.

    Parameters
    ----------
    body : async iterator of bytes
        As they come.
    folder : Path
        Of the dossier.
    inside : str
        ``photos`` or ``logs``.
    name : str
        As `safe_name` gives it.
    limit : int
        Most bytes.

    Returns
    -------
    Path
        The file as received, not yet under its own name; see `keep`.

    Raises
    ------
    ImpossibleValue
        There is nothing, or more than the limit.
    OutputRefused
        It cannot be written.
    """
    target = folder / inside
    beside = target / f".{secrets.token_hex(6)}-{name}.part"
    count = 0
    try:
        target.mkdir(parents=True, exist_ok=True)
        if not lies_inside(folder, target):
            raise DossierError(
                f"{inside} is a link that leads out of the dossier", remedy="put a folder in its place"
            )
        with beside.open("xb") as stream:
            async for piece in body:
                count += len(piece)
                if count > limit:
                    raise ImpossibleValue(
                        f"the file has more than {limit / 1e6:g} MB", remedy="save it smaller"
                    )
                stream.write(piece)
            stream.flush()
            os.fsync(stream.fileno())
        if count == 0:
            raise ImpossibleValue("the file is empty", remedy="send it again")
    except BaseException as error:
        beside.unlink(missing_ok=True)
        if isinstance(error, OSError):
            raise OutputRefused(
                f"{name} cannot be kept ({error.strerror or error})",
                where=str(target),
                remedy="make room on the disk or check the permissions, then send it again",
            ) from None
        raise
    return beside


def drop_unfinished(folder: Path) -> None:
    """Take away what uploads left that were cut off by the end of an earlier server.

    Parameters
    ----------
    folder : Path
        Of the dossier, whose lock is held: nobody else is sending anything now.
    """
    for name in FOLDERS:
        inside = folder / name
        if inside.is_dir() and not inside.is_symlink():
            for left in (*inside.glob(".*.part"), *inside.glob(f".*{LOOKED_AT}.*")):
                with suppress(OSError):
                    left.unlink()


def keep(beside: Path, name: str, folder: Path | None = None) -> Path:
    """Give a received file its own name, or the next free one; nothing is ever written over.

    Parameters
    ----------
    beside : Path
        As received.
    name : str
        Wanted.
    folder : Path, optional
        Where to; the one that it lies in if not told.

    Returns
    -------
    Path
        Where it lies.
    """
    stem, ending = PurePosixPath(name).stem, PurePosixPath(name).suffix
    number = 1
    while True:
        target = (folder or beside.parent) / (name if number == 1 else f"{stem}-{number}{ending}")
        try:
            os.link(beside, target)  # fails where the name is taken; a renaming would write over
        except FileExistsError:
            number += 1
            continue
        except OSError:
            if target.exists():
                number += 1
                continue
            beside.rename(target)  # a file system without links
            return target
        beside.unlink()
        return target
