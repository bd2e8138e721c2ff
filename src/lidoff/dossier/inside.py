"""Whether what a dossier names lies in it: somebody else's dossier may hold links that lead out."""

from __future__ import annotations

from pathlib import Path

__all__ = ["lies_inside"]


def lies_inside(folder: Path, file: Path) -> bool:
    """Whether a file lies in a folder once all links are followed, be it there or not.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    file : Path
        Below it by name.

    Returns
    -------
    bool
        False where a link leads out.
    """
    return file.resolve().is_relative_to(folder.resolve())
