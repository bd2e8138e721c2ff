"""What the commands do with a dossier on disk, its progress shown. Loads all rooms: import it when a command runs."""

from __future__ import annotations

import sys
from pathlib import Path

from lidoff.cli.progress import progress_line
from lidoff.cli.reading import read_dossier
from lidoff.cli.terminal import plain
from lidoff.dossier import Analysis, analyse
from lidoff.errors import OutputRefused
from lidoff.report import write_report

__all__ = ["analysed", "make_folder", "out_folder", "reported"]


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
    dossier = read_dossier(folder)
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


def reported(
    analysis: Analysis,
    folder: Path,
    *,
    dossier_folder: str | Path | None = None,
    archive: bool = False,
    language: str = "",
) -> tuple[Path, ...]:
    """Report of an analysis on disk; photos that it is without go to the terminal, one a line.

    Parameters
    ----------
    analysis : Analysis
        What to tell.
    folder : Path
        Where to; made if it is not there.
    dossier_folder : str or Path, optional
        Where the dossier lies, with its boards and photos.
    archive : bool, optional
        Whether to write the dossier itself as an archive beside the report.
    language : str, optional
        Language of lidoff's own words, as far as the dossier's texts go.

    Returns
    -------
    tuple of Path
        The files written, the web page first.
    """
    with progress_line() as progress:
        files = write_report(
            analysis,
            folder,
            dossier_folder=dossier_folder,
            archive=archive,
            language=language,
            progress=progress,
        )
    for one in analysis.dossier.unusable_photos:
        told = f"lidoff: the report is without the photo {one.file}: {one.what}; {one.remedy}"
        print(plain(told), file=sys.stderr)
    return files


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
        in_the_way = isinstance(error, (FileExistsError, NotADirectoryError))
        raise OutputRefused(
            f"the folder cannot be made: {'a file is in its way' if in_the_way else error.strerror}",
            where=str(folder),
            remedy="name another place",
        ) from None
