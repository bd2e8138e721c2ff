"""The one place where a report touches the disk."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from types import MappingProxyType

from lidoff.dossier import Analysis, Progress, analysis_json
from lidoff.errors import OutputRefused
from lidoff.report.boards import BoardView, board_views
from lidoff.report.ipc_d_356 import ipc_d_356
from lidoff.report.packing import dossier_zip
from lidoff.report.pages import pages_of
from lidoff.report.paper import pdf_of
from lidoff.report.phrases import names_of
from lidoff.report.plain_tables import claims_csv, findings_csv, hazards_csv, netlist_text, sums_csv
from lidoff.report.sections.schematic import drawing_of
from lidoff.report.tables import currents_csv, nets_csv, parts_csv, readings_csv
from lidoff.report.translating import texts_file, translated
from lidoff.report.web import html_of
from lidoff.report.words import clean

__all__ = ["TABLES", "boards_of", "data_files", "file_name", "write_file", "write_report"]

TABLES: Mapping[str, Callable[[Analysis], str]] = MappingProxyType(
    {
        "claims": claims_csv,
        "readings": readings_csv,
        "parts": parts_csv,
        "nets": nets_csv,
        "currents": currents_csv,
        "sums": sums_csv,
        "hazards": hazards_csv,
        "findings": findings_csv,
    }
)
"""Name of each table's file → what makes it."""


def write_report(
    analysis: Analysis,
    folder: str | Path,
    *,
    dossier_folder: str | Path | None = None,
    archive: bool = False,
    language: str = "",
    progress: Progress | None = None,
) -> tuple[Path, ...]:
    """Write the report of an analysis into a folder.

    Parameters
    ----------
    analysis : Analysis
        What to tell.
    folder : str or Path
        Is made if it is not there. Earlier reports in it are replaced, each file in one step.
    dossier_folder : str or Path, optional
        Where the dossier lies; without it the report shows no boards.
    archive : bool, optional
        Whether to write the dossier itself as ``dossier.zip``; it takes its folder.
    language : str, optional
        Language of lidoff's own words, from ``texts/LANGUAGE.json`` in the dossier's folder. That file is written with
        every phrase of the report, so that what is missing can be filled in.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    tuple of Path
        The files written: ``report.html`` and ``report.pdf``, then ``schematic.svg`` and ``netlist.txt`` where there is a
        circuit, ``analysis.json``, a CSV of each of claims, readings, parts, nets, currents, sums, hazards and findings, and
        ``board-NAME.ipc`` of each traced board. The same analysis gives the same bytes.

    Raises
    ------
    OutputRefused
        The folder cannot be made or written.
    DossierError, ImpossibleValue
        The texts of the language do not fit, or there is no such language.
    """

    def tell(text: str, share: float) -> None:
        if progress is not None:
            progress(text, share)

    target = Path(folder)
    tell("putting the report together", 0.0)
    boards = boards_of(analysis, dossier_folder)
    pages = pages_of(analysis, boards)
    if language and dossier_folder is not None:
        file = texts_file(dossier_folder, language)
        pages, data, done, of = translated(pages, file, names=names_of(analysis))
        write_file(file, data)
        tell(f"{done} of {of} phrases are translated in texts/{file.name}", 0.1)
    makers = {
        "report.html": lambda: html_of(pages).encode(),
        "report.pdf": lambda: pdf_of(pages),
        **data_files(analysis, boards),
    }
    if archive and dossier_folder is not None:
        makers["dossier.zip"] = partial(dossier_zip, dossier_folder)
    written = []
    for number, (name, made) in enumerate(makers.items()):
        tell(f"writing {name}", (number + 1) / (len(makers) + 1))
        write_file(target / name, made())
        written.append(target / name)
    tell("done", 1.0)
    return tuple(written)


def data_files(analysis: Analysis, boards: Sequence[BoardView] = ()) -> Mapping[str, Callable[[], bytes]]:
    """Files of data beside a report, each made when it is called for.

    Parameters
    ----------
    analysis : Analysis
        What to tell.
    boards : sequence of BoardView
        Traced boards.

    Returns
    -------
    mapping of str to callable () → bytes
        By name, in the order in which they are written.
    """
    makers: dict[str, Callable[[], bytes]] = {}
    if analysis.circuit.parts:
        makers["schematic.svg"] = lambda: clean(drawing_of(analysis).to_svg()).encode()
        makers["netlist.txt"] = lambda: netlist_text(analysis).encode()
    makers["analysis.json"] = lambda: _document(analysis)
    makers.update((f"{name}.csv", partial(_table, table, analysis)) for name, table in TABLES.items())
    title = analysis.dossier.device.title
    makers.update(
        (f"board-{file_name(view.board.name)}.ipc", partial(_tester, view, title)) for view in boards
    )
    return makers


def _table(table: Callable[[Analysis], str], analysis: Analysis) -> bytes:
    """CSV with the mark by which spreadsheets know UTF-8."""
    return table(analysis).encode("utf-8-sig")


def _tester(view: BoardView, title: str) -> bytes:
    return ipc_d_356(view.board, title=title).encode("ascii")


def file_name(name: str) -> str:
    """Name as part of a file's name."""
    return "".join(
        letter if letter.isascii() and (letter.isalnum() or letter in "-_") else "_" for letter in name
    )


def boards_of(analysis: Analysis, folder: str | Path | None) -> tuple[BoardView, ...]:
    """Traced boards in a dossier's folder; none without a folder."""
    if folder is None:
        return ()
    path = Path(folder)
    titles = {board.name: board.title for board in analysis.dossier.boards}
    return board_views(path.parent if path.is_file() else path, titles)


def _document(analysis: Analysis) -> bytes:
    text = json.dumps(analysis_json(analysis), indent=2, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode("utf-8", errors="backslashreplace")


def write_file(file: Path, data: bytes) -> Path:
    """Write beside the file, flush to disk, then put it in the file's place.

    Parameters
    ----------
    file : Path
        Where it is to lie; its folder is made if it is not there.
    data : bytes
        What to write.

    Returns
    -------
    Path
        The same file.

    Raises
    ------
    OutputRefused
        It cannot be written; an old file is as it was.
    """
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
    return file
