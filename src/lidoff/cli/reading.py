"""Reading a dossier for a command: one of an older format is read all the same, and the person is told."""

from __future__ import annotations

import sys
from pathlib import Path

from lidoff.cli.terminal import as_typed, plain
from lidoff.dossier import FILE_NAME, NEWEST, Dossier, load_dossier

__all__ = ["read_dossier"]


def read_dossier(path: str | Path) -> Dossier:
    """Dossier of a folder; that its file is in an older format goes to the terminal in one line.

    Parameters
    ----------
    path : str or Path
        The folder, or the ``dossier.toml`` in it.

    Returns
    -------
    Dossier
        All that the file says.

    Raises
    ------
    DossierError
        As for `load_dossier`.
    """
    dossier = load_dossier(path)
    if dossier.written_in < NEWEST:
        folder = Path(path).parent if Path(path).is_file() else Path(path)
        print(
            plain(
                f"lidoff: {FILE_NAME} is in format {dossier.written_in}, read as format {NEWEST} and left as it is; "
                f"to rewrite it, the original kept: {as_typed('migrate', str(folder))}"
            ),
            file=sys.stderr,
        )
    return dossier
