"""Reports of all dossiers of a shelf, written in bulk."""

from __future__ import annotations

from pathlib import Path

from lidoff.dossier import analyse, load_dossier
from lidoff.report import write_report

__all__ = ["written_report"]


def written_report(shelf: str, folder: str) -> str:
    """Write the report of one dossier into its ``out`` folder; runs wherever the work is done.

    Parameters
    ----------
    shelf, folder : str
        The shelf's folder, and the dossier's below it.

    Returns
    -------
    str
        Where the page lies.
    """
    place = Path(shelf) / folder
    files = write_report(analyse(load_dossier(place)), place / "out", dossier_folder=place)
    return str(files[0])
