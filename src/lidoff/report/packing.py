"""A dossier's folder as one archive, to be sent or kept: what was put in, without what was made from it."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from lidoff.errors import DossierError

__all__ = ["dossier_zip"]

LEFT_OUT = frozenset({"out", "__pycache__"})
"""Folders of what is made anew from the rest."""
NO_TIME = (1980, 1, 1, 0, 0, 0)
"""Date of every file, so that the same dossier gives the same bytes."""
PACKED = frozenset({".jpg", ".jpeg", ".png", ".heic", ".heif", ".webp"})
"""Files that gain nothing from being packed once more."""


def dossier_zip(folder: str | Path) -> bytes:
    """Archive of a dossier: ``dossier.toml``, boards, photos and logs.

    Parameters
    ----------
    folder : str or Path
        Of the dossier.

    Returns
    -------
    bytes
        A ZIP archive with everything under the folder's name; hidden files, links and ``out`` are left out. The same files
        give the same bytes.

    Raises
    ------
    DossierError
        A file cannot be read.
    """
    path = Path(folder)
    root = (path.parent if path.is_file() else path).resolve()
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        for one in sorted(root.rglob("*")):
            inside = one.relative_to(root)
            hidden = any(part.startswith(".") or part in LEFT_OUT for part in inside.parts)
            if hidden or one.is_symlink() or not one.is_file():
                continue
            entry = zipfile.ZipInfo(f"{root.name}/{inside.as_posix()}", date_time=NO_TIME)
            entry.compress_type = zipfile.ZIP_STORED if one.suffix.lower() in PACKED else zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            try:
                archive.writestr(entry, one.read_bytes())
            except OSError as error:
                raise DossierError(
                    f"{inside.as_posix()} cannot be read ({error.strerror or error})",
                    where=str(root),
                    remedy="check its permissions",
                ) from error
    return file.getvalue()
