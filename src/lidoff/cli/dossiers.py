"""The dossier that a command is about, analysed with its progress shown."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.cli.progress import progress_line

if TYPE_CHECKING:
    from lidoff.dossier import Analysis

__all__ = ["add_dossier", "analysed", "make_folder", "out_folder", "reported"]


def add_dossier(parser: ArgumentParser) -> None:
    """Let the command take the folder of a dossier.

    Parameters
    ----------
    parser : ArgumentParser
        Of the command; the folder becomes ``dossier``.
    """
    parser.add_argument("dossier", metavar="DIR", help="the dossier: a folder that holds dossier.toml")


def analysed(folder: str | Path) -> Analysis:
    """Analysis of a dossier on disk.

    Parameters
    ----------
    folder : str or Path
        Of the dossier.

    Returns
    -------
    Analysis
        Of all that it says.
    """
    from lidoff.dossier import analyse, load_dossier

    dossier = load_dossier(folder)
    with progress_line() as progress:
        return analyse(dossier, progress=progress)


def out_folder(dossier: str | Path) -> Path:
    """Folder for what is made from a dossier.

    Parameters
    ----------
    dossier : str or Path
        The folder of the dossier, or the file in it.

    Returns
    -------
    Path
        ``out`` in the dossier; it may not be there yet.
    """
    path = Path(dossier)
    return (path.parent if path.is_file() else path) / "out"


def reported(analysis: Analysis, folder: Path) -> tuple[Path, ...]:
    """Report of an analysis on disk.

    Parameters
    ----------
    analysis : Analysis
        What to tell.
    folder : Path
        Where to; made if it is not there.

    Returns
    -------
    tuple of Path
        The files written, the web page first.
    """
    from lidoff.report import write_report

    with progress_line() as progress:
        return write_report(analysis, folder, progress=progress)


def make_folder(folder: Path) -> None:
    """Make a folder for results, and those above it, where they are not there yet.

    Parameters
    ----------
    folder : Path
        What is to be there.

    Raises
    ------
    OutputRefused
        It cannot be made.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        from lidoff.errors import OutputRefused

        in_the_way = isinstance(error, (FileExistsError, NotADirectoryError))
        raise OutputRefused(
            f"the folder cannot be made: {'a file is in its way' if in_the_way else error.strerror}",
            where=str(folder),
            remedy="name another place",
        ) from None
