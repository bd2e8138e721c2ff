"""The one door for photo files: bounded, upright, never rewritten.

A file is decoded in a process of its own that holds limits of memory and time, so that a crafted picture can harm neither the
session nor the machine. What comes back is an upright array in sRGB and the hash of the file's bytes.
"""

from __future__ import annotations

import contextlib
import hashlib
import multiprocessing
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import PhotoRefused

__all__ = ["FORMATS", "LARGEST_BYTES", "LARGEST_PIXELS", "Photo", "check_unchanged", "read_photo"]

LARGEST_PIXELS = 100_000_000
"""Largest photo [pixels]."""

LARGEST_BYTES = 200_000_000
"""Largest file [bytes]."""

_MEMORY = 3_000_000_000  # address space of the decoding process beyond what it starts with [bytes]
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
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            raise PhotoRefused(
                f"the file has {size / 1e6:.0f} MB, more than {LARGEST_BYTES / 1e6:.0f} MB",
                where=where,
                remedy="save the photo smaller",
            )
        data = path.read_bytes()
    except OSError as error:
        raise PhotoRefused(
            f"the file cannot be read ({error.strerror})", where=where, remedy="check its name and rights"
        ) from error
    digest = hashlib.sha256(data).hexdigest()
    if expected_sha256 and digest != expected_sha256:
        raise PhotoRefused(
            "the photo has changed on disk since it was registered",
            where=where,
            remedy="put the original back, or register the new photo",
        )
    picture, name, turned = _decoded_apart(data, where)
    endings = FORMATS[name]
    if path.suffix.lower() not in endings:
        raise PhotoRefused(
            f"the file is {name} but is named {path.suffix or 'without an ending'}",
            where=where,
            remedy=f"rename it to end in {' or '.join(endings)}",
        )
    return Photo(path=path, picture=picture, format=name, sha256=digest, turned=turned)


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
    """Decode in a child process; every way it can end is turned into words."""
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    worker = context.Process(target=_decode, args=(theirs,), daemon=True)
    worker.start()
    theirs.close()
    try:
        # A worker that has died takes nothing; the reading below says so.
        with contextlib.suppress(BrokenPipeError, ConnectionError):
            ours.send_bytes(data)
        if not ours.poll(_SECONDS):
            raise PhotoRefused(
                f"decoding took more than {_SECONDS} s", where=where, remedy="save the photo again, smaller"
            )
        try:
            verdict = ours.recv()
            if verdict[0] != "picture":
                raise PhotoRefused(verdict[1], where=where, remedy=verdict[2])
            _, shape, name, turned = verdict
            pixels = np.frombuffer(ours.recv_bytes(), np.uint8).reshape(shape)
        except (EOFError, ConnectionError) as error:
            raise PhotoRefused(
                "decoding needed more memory than a photo of this size may",
                where=where,
                remedy="save the photo again as JPEG",
            ) from error
    finally:
        ours.close()
        worker.kill()
        worker.join()
    return pixels, name, turned


def _decode(pipe: Connection) -> None:
    """Work of the child: limits first, then the decoder."""
    import io
    import warnings

    _limit_memory()
    data = pipe.recv_bytes()
    import pi_heif
    from PIL import Image, ImageOps, UnidentifiedImageError

    pi_heif.register_heif_opener()
    # The size is checked from the header, before a pixel is decoded: the library's own guard only warns at first.
    Image.MAX_IMAGE_PIXELS = None
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            image = Image.open(io.BytesIO(data), formats=list(FORMATS))
            width, height = image.size
            if width * height > LARGEST_PIXELS:
                pipe.send(
                    (
                        "refused",
                        f"the photo has {width} × {height} = {width * height / 1e6:.0f} megapixels, "
                        f"more than {LARGEST_PIXELS / 1e6:.0f}",
                        "save it smaller",
                    )
                )
                return
            name = str(image.format)
            turned = image.getexif().get(0x0112, 1) not in (0, 1) or bool(
                image.info.get("original_orientation")
            )
            image.load()
            upright = np.asarray(ImageOps.exif_transpose(image).convert("RGB"))
    except UnidentifiedImageError:
        pipe.send(
            (
                "refused",
                "this is no JPEG, PNG, TIFF or HEIC picture",
                "save the photo in one of these formats",
            )
        )
        return
    except MemoryError:
        pipe.send(("refused", "decoding needed more memory than a photo may", "save the photo again as JPEG"))
        return
    except (OSError, SyntaxError, ValueError, EOFError) as error:
        pipe.send(
            ("refused", f"the picture is damaged or cut short ({error})", "copy it from the camera again")
        )
        return
    pipe.send(("picture", upright.shape, name, turned))
    pipe.send_bytes(np.ascontiguousarray(upright).tobytes())


def _limit_memory() -> None:
    """Hold the child's address space; where the system has no such limit, its size check alone holds."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
