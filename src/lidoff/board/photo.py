"""The one door for photo files: bounded, upright, never rewritten.

A file is decoded in a process of its own that holds limits of memory and time, so that a crafted picture can harm neither the
session nor the machine. What comes back is an upright array in sRGB and the hash of the file's bytes.
"""

from __future__ import annotations

import hashlib
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import PhotoRefused

__all__ = ["FORMATS", "LARGEST_BYTES", "LARGEST_PIXELS", "Photo", "check_unchanged", "read_photo"]

LARGEST_PIXELS = 100_000_000
"""Largest photo [pixels]."""

LARGEST_BYTES = 200_000_000
"""Largest file [bytes]."""

_SECONDS = 60  # longest decoding [s]

FORMATS = {"JPEG": (".jpg", ".jpeg"), "PNG": (".png",), "TIFF": (".tif", ".tiff"), "HEIF": (".heic", ".heif")}
"""Formats that are read, with the endings that their files have."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Photo:
    """One photo: upright picture (H, W, 3) in sRGB, format, hash of the file, and the quarter turns that made it upright."""

    path: Path
    picture: NDArray[np.uint8]
    format: str
    sha256: str
    turned: bool


def read_photo(path: Path | str, *, expected_sha256: str = "") -> Photo:
    """Read a photo file.

    Parameters
    ----------
    path : path
        JPEG, PNG, TIFF or HEIC file of at most 100 megapixels.
    expected_sha256 : str
        Hash that the file must still have; empty for a new photo.

    Returns
    -------
    Photo
        Upright after the file's orientation tag.

    Raises
    ------
    PhotoRefused
        The file is missing, too large, cut short, not a picture, named for another format, or has changed.
    """
    path = Path(path)
    where = str(path)
    data = bytes_of_photo(path)
    digest = hashlib.sha256(data).hexdigest()
    if expected_sha256 and digest != expected_sha256:
        raise PhotoRefused(
            "the photo has changed on disk since it was registered",
            where=where,
            remedy="put the original back, or register the new photo",
        )
    picture, name, turned = _decoded_apart(data, where)
    check_ending(path, name)
    return Photo(path=path, picture=picture, format=name, sha256=digest, turned=turned)


def bytes_of_photo(path: Path) -> bytes:
    """Bytes of a photo's file; `PhotoRefused` where it cannot be read or is too large."""
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise PhotoRefused(
                f"the file has {size / 1e6:.0f} MB, more than {LARGEST_BYTES / 1e6:.0f} MB",
                where=str(path),
                remedy="save the photo smaller",
            )
        return path.read_bytes()
    except OSError as error:
        raise PhotoRefused(
            f"the file cannot be read ({error.strerror})", where=str(path), remedy="check its name and rights"
        ) from error


def check_ending(path: Path, name: str) -> None:
    """Refuse a photo that is named for another format than its own."""
    endings = FORMATS[name]
    if path.suffix.lower() not in endings:
        raise PhotoRefused(
            f"the file is {name} but is named {path.suffix or 'without an ending'}",
            where=str(path),
            remedy=f"rename it to end in {' or '.join(endings)}",
        )


def check_unchanged(path: Path | str, sha256: str) -> None:
    """Refuse a photo whose bytes are no longer those registered.

    Raises
    ------
    PhotoRefused
        The hash differs or the file is gone.
    """
    path = Path(path)
    try:
        digest = hashlib.sha256(path.read_bytes()).hexdigest()
    except OSError as error:
        raise PhotoRefused(
            f"the file cannot be read ({error.strerror})", where=str(path), remedy="put the original back"
        ) from error
    if digest != sha256:
        raise PhotoRefused(
            "the photo has changed on disk since it was registered",
            where=str(path),
            remedy="put the original back, or register the new photo",
        )


def _decoded_apart(data: bytes, where: str) -> tuple[NDArray[np.uint8], str, bool]:
    """Decode in a process of its own; every way it can end is turned into words."""
    command = [sys.executable, "-m", "lidoff.board.decoder", str(LARGEST_PIXELS)]
    try:
        done = subprocess.run(command, input=data, capture_output=True, timeout=_SECONDS, check=False)
    except subprocess.TimeoutExpired as error:
        raise PhotoRefused(
            f"decoding took more than {_SECONDS} s", where=where, remedy="save the photo again, smaller"
        ) from error
    head, newline, pixels = done.stdout.partition(b"\n")
    if not newline:
        raise PhotoRefused(
            f"the decoder ended without an answer (exit {done.returncode}); it may have met its limit of memory",
            where=where,
            remedy="save the photo again as JPEG",
        )
    verdict = json.loads(head)
    if "refused" in verdict:
        raise PhotoRefused(verdict["refused"], where=where, remedy=verdict["remedy"])
    shape = (int(verdict["rows"]), int(verdict["columns"]), 3)
    picture = np.frombuffer(pixels, np.uint8)
    if picture.size != shape[0] * shape[1] * 3:
        raise PhotoRefused("the decoder's answer is cut short", where=where, remedy="try again")
    return picture.reshape(shape), str(verdict["format"]), bool(verdict["turned"])
