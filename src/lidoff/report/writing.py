"""The one place where a report touches the disk."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from lidoff.dossier import Analysis, Progress, analysis_json
from lidoff.errors import OutputRefused
from lidoff.report.pages import pages_of
from lidoff.report.paper import pdf_of
from lidoff.report.sections.schematic import drawing_of
from lidoff.report.tables import nets_csv, parts_csv, readings_csv
from lidoff.report.web import html_of
from lidoff.report.words import clean

__all__ = ["write_report"]


def write_report(
    analysis: Analysis, folder: str | Path, *, progress: Progress | None = None
) -> tuple[Path, ...]:
    """Write the report of an analysis into a folder.

    Parameters
    ----------
    analysis : Analysis
        What to tell.
    folder : str or Path
        Is made if it is not there. Earlier reports in it are replaced, each file in one step.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    tuple of Path
        The files written: ``report.html`` and ``report.pdf``, then ``schematic.svg`` where there is a circuit,
        ``analysis.json``, ``readings.csv``, ``parts.csv`` and ``nets.csv``. The same analysis gives the same bytes.

    Raises
    ------
    OutputRefused
        The folder cannot be made or written.
    """

    def tell(text: str, share: float) -> None:
        if progress is not None:
            progress(text, share)

    target = Path(folder)
    tell("putting the report together", 0.0)
    pages = pages_of(analysis)
    makers: list[tuple[str, Callable[[], bytes]]] = [
        ("report.html", lambda: html_of(pages).encode()),
        ("report.pdf", lambda: pdf_of(pages)),
    ]
    if analysis.circuit.parts:
        makers.append(("schematic.svg", lambda: clean(drawing_of(analysis).to_svg()).encode()))
    makers += [
        ("analysis.json", lambda: _document(analysis)),
        ("readings.csv", lambda: readings_csv(analysis).encode("utf-8-sig")),
        ("parts.csv", lambda: parts_csv(analysis).encode("utf-8-sig")),
        ("nets.csv", lambda: nets_csv(analysis).encode("utf-8-sig")),
    ]
    written = []
    for number, (name, made) in enumerate(makers):
        tell(f"writing {name}", (number + 1) / (len(makers) + 1))
        _write_whole(target / name, made())
        written.append(target / name)
    tell("done", 1.0)
    return tuple(written)


def _document(analysis: Analysis) -> bytes:
    text = json.dumps(analysis_json(analysis), indent=2, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode("utf-8", errors="backslashreplace")


def _write_whole(file: Path, data: bytes) -> None:
    """Write beside the file, flush to disk, then put it in the file's place."""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{file.name}.", dir=file.parent)
        beside = Path(name)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            beside.chmod(0o644)
            beside.replace(file)
        except BaseException:
            beside.unlink(missing_ok=True)
            raise
    except OSError as error:
        raise OutputRefused(
            f"{file.name} cannot be written here ({error.strerror or error})",
            where=str(file.parent),
            remedy="check the folder's permissions and the space on the disk, or name another folder",
        ) from error
