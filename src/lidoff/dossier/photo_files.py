"""Photos that a dossier names and that cannot be used: looked at when it is loaded, told in analysis and report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.board import check_photo_file
from lidoff.dossier.inside import lies_inside
from lidoff.errors import PhotoRefused
from lidoff.evidence import Finding

if TYPE_CHECKING:
    from lidoff.dossier.entries import Photo

__all__ = ["UnusablePhoto", "photo_findings", "unusable_photos"]


@dataclass(frozen=True, slots=True, kw_only=True)
class UnusablePhoto:
    """One photo that is not there, or is none.

    Attributes
    ----------
    file : str
        As the dossier names it.
    what, remedy : str
        What is wrong with it, and what to do.
    """

    file: str
    what: str
    remedy: str


def unusable_photos(folder: Path, photos: Sequence[Photo]) -> tuple[UnusablePhoto, ...]:
    """Photos of a dossier that are missing, no pictures, or cut short.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    photos : sequence of Photo
        As its file names them.

    Returns
    -------
    tuple of UnusablePhoto
        Each file once, in their order.
    """
    found = []
    for name in dict.fromkeys(photo.file for photo in photos):
        file = folder / name
        try:
            if not lies_inside(folder, file) or (file.exists() and not file.is_file()):
                raise PhotoRefused(
                    "this is no ordinary file of the dossier", remedy="put the photo itself into photos/"
                )
            known = file.stat() if file.exists() else None
            trouble = _trouble(file, known and (known.st_mtime_ns, known.st_size))
        except PhotoRefused as error:
            trouble = error.what, error.remedy
        except OSError as error:
            trouble = (
                f"the file cannot be reached ({error.strerror or error})",
                "look whether the disk or share is there",
            )
        if trouble is not None:
            found.append(UnusablePhoto(file=name, what=trouble[0], remedy=trouble[1]))
    return tuple(found)


@lru_cache(maxsize=256)
def _trouble(file: Path, _stamp: tuple[int, int] | None) -> tuple[str, str] | None:
    """What is wrong with a file and what to do; looked at anew when its time or size changes, since each edit asks."""
    try:
        check_photo_file(file)
    except PhotoRefused as error:
        return error.what, error.remedy
    return None


def photo_findings(unusable: Sequence[UnusablePhoto]) -> tuple[Finding, ...]:
    """Findings of photos that cannot be used.

    Parameters
    ----------
    unusable : sequence of UnusablePhoto

    Returns
    -------
    tuple of Finding
        One each, of severity "caution".
    """
    return tuple(
        Finding(
            name="photo not usable",
            title=f"Photo not usable: {one.file}",
            severity="caution",
            what=f"The dossier names the photo {one.file}, but {one.what}. Nothing was traced from it, and no page shows it.",
            remedy=one.remedy,
        )
        for one in unusable
    )
