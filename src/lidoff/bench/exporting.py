"""Files to take away: all that the command line writes of one dossier. Made in the process beside the server."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from lidoff.bench.analyst import analysis_of
from lidoff.bench.models import Closed, Name
from lidoff.errors import LidoffError, UnknownName

if TYPE_CHECKING:
    from lidoff.dossier import Analysis
    from lidoff.schematic import Drawing

__all__ = ["STILLS", "DrawAsked", "ExportTold", "Maker", "StillsAsked", "export", "exports_of", "makers_of"]

Maker = Callable[[], bytes]
STILLS = "stills.zip"


class ExportTold(Closed):
    """One file that can be taken away, and whether it is written with the others unless a person says otherwise."""

    name: str
    title: str
    media: str
    usual: bool = True


class DrawAsked(Closed):
    """How a schematic is to be drawn."""

    situation: Name = ""
    currents: bool = False
    voltage_colours: bool = False
    blocks: bool = False
    misfit: bool = False
    every_part: bool = False
    zigzag: bool = False
    theme: Literal["", "light", "dark", "print"] = ""
    light_up: list[Name] = Field(default_factory=list, max_length=100)
    loop_of: Name = ""
    width: int = Field(default=1600, ge=16, le=20_000)


class StillsAsked(Closed):
    """How stills are to be made."""

    size: Literal["1920x1080", "3840x2160", "1080x1920"] = "1920x1080"
    dark: bool = False
    transparent: bool = False


_FIXED = (
    ExportTold(name="report.html", title="report, one page for a browser", media="text/html"),
    ExportTold(name="report.pdf", title="report, on paper", media="application/pdf"),
    ExportTold(name="schematic.svg", title="schematic, as a drawing", media="image/svg+xml"),
    ExportTold(name="schematic.pdf", title="schematic, on paper", media="application/pdf", usual=False),
    ExportTold(name="schematic.png", title="schematic, as a picture", media="image/png", usual=False),
    ExportTold(name="netlist.txt", title="what hangs on which net, as plain text", media="text/plain"),
    ExportTold(name="analysis.json", title="every number, for programs", media="application/json"),
    ExportTold(name="claims.csv", title="claims with their verdicts, as a table", media="text/csv"),
    ExportTold(name="readings.csv", title="readings, as a table", media="text/csv"),
    ExportTold(name="parts.csv", title="parts, as a table", media="text/csv"),
    ExportTold(name="nets.csv", title="voltages of nets, as a table", media="text/csv"),
    ExportTold(name="currents.csv", title="currents and powers of parts, as a table", media="text/csv"),
    ExportTold(name="sums.csv", title="sums of the blocks, as a table", media="text/csv"),
    ExportTold(name="hazards.csv", title="what was checked for hazards, as a table", media="text/csv"),
    ExportTold(name="findings.csv", title="findings, as a table", media="text/csv"),
    ExportTold(name=STILLS, title="stills, all of them", media="application/zip", usual=False),
    ExportTold(
        name="dossier.zip",
        title="the dossier itself, to be sent or kept",
        media="application/zip",
        usual=False,
    ),
)


def exports_of(document: Mapping[str, object], boards: Mapping[str, str]) -> list[ExportTold]:
    """Files that can be taken away of a dossier.

    Parameters
    ----------
    document : mapping
        Plain data of ``dossier.toml``.
    boards : mapping of str to str
        Files of the boards.

    Returns
    -------
    list of ExportTold
        Those of every dossier, then its boards' and logs'.
    """
    from lidoff.dossier.board_files import board_name
    from lidoff.report.writing import file_name

    found = list(_FIXED)
    for name in filter(None, map(board_name, boards)):
        title = f"board {name}, for a tester of boards (IPC-D-356)"
        found.append(ExportTold(name=f"board-{file_name(name)}.ipc", title=title, media="text/plain"))
    logs = document.get("logs")
    for name in logs if isinstance(logs, Mapping) else ():
        for form, media in _LOG_FORMS.items():
            title = f"log {name} over time, as {_FORM_WORDS[form]}"
            told = f"log-{file_name(str(name))}.{form}"
            found.append(ExportTold(name=told, title=title, media=media, usual=False))
    return found


_LOG_FORMS = {"svg": "image/svg+xml", "pdf": "application/pdf", "png": "image/png"}
_FORM_WORDS = {"svg": "a drawing", "pdf": "a page", "png": "a picture"}


def export(
    texts: Mapping[str, str], folder: Path, name: str, drawn: DrawAsked, stills: StillsAsked
) -> bytes | LidoffError:
    """One file to take away; the error that stands in its way.

    Parameters
    ----------
    texts : mapping of str to str
        State of the dossier.
    folder : Path
        Of the dossier.
    name : str
        Of the file.
    drawn : DrawAsked
        How a schematic is to be drawn.
    stills : StillsAsked
        How stills are to be made.

    Returns
    -------
    bytes or LidoffError
        Contents of the file.
    """
    try:
        makers = makers_of(analysis_of(texts, folder), folder, drawn, stills)
        if name not in makers:
            raise UnknownName(f"there is no {name} of this dossier", name=name, known=makers)
        return makers[name]()
    except LidoffError as error:
        return error


def makers_of(analysis: Analysis, folder: Path, drawn: DrawAsked, stills: StillsAsked) -> Mapping[str, Maker]:
    """What makes each file, called for those that are wanted.

    Parameters
    ----------
    analysis : Analysis
        Of the dossier.
    folder, drawn, stills
        As for `export`.

    Returns
    -------
    mapping of str to callable () → bytes
        By name.
    """
    from lidoff.report import dossier_zip, html_of, pages_of, pdf_of
    from lidoff.report.writing import boards_of, data_files

    boards = boards_of(analysis, folder)
    makers: dict[str, Maker] = {
        "report.html": lambda: html_of(pages_of(analysis, boards)).encode(),
        "report.pdf": lambda: pdf_of(pages_of(analysis, boards)),
        **data_files(analysis, boards),
        STILLS: lambda: _stills_zip(analysis, folder, stills),
        "dossier.zip": lambda: dossier_zip(folder),
        **dict(_log_makers(analysis)),
    }
    if analysis.circuit.parts:
        makers["schematic.pdf"] = lambda: _written(".pdf", partial(_put_pdf, analysis, drawn))
        makers["schematic.png"] = lambda: _written(".png", partial(_put_png, analysis, drawn))
        if drawn != DrawAsked():
            makers["schematic.svg"] = lambda: (
                _drawing(analysis, drawn).to_svg(drawn.theme or "light").encode()
            )
    return makers


def _written(ending: str, write: Callable[[Path], None]) -> bytes:
    """Contents of what can only be written to a file."""
    with tempfile.TemporaryDirectory() as place:
        file = Path(place) / f"made{ending}"
        write(file)
        return file.read_bytes()


def _put_pdf(analysis: Analysis, drawn: DrawAsked, file: Path) -> None:
    _drawing(analysis, drawn).to_pdf(file, drawn.theme or "print")


def _put_png(analysis: Analysis, drawn: DrawAsked, file: Path) -> None:
    _drawing(analysis, drawn).to_png(file, drawn.width, drawn.theme or "light")


def _drawing(analysis: Analysis, drawn: DrawAsked) -> Drawing:
    from lidoff.dossier import DrawingWish, drawing_of

    told = drawn.model_dump(exclude={"theme", "width", "light_up"})
    wish = DrawingWish(**told, light_up=tuple(drawn.light_up))
    return drawing_of(analysis.dossier, analysis.circuit, wish, lambda: analysis.misfit)


def _log_makers(analysis: Analysis) -> Iterator[tuple[str, Maker]]:
    from lidoff.dossier import log_summaries
    from lidoff.report import write_log_plot
    from lidoff.report.writing import file_name

    def plotted(name: str, file: Path) -> None:
        (entry,) = (one for one in analysis.dossier.logs if one.name == name)
        write_log_plot(log_summaries([entry], analysis.dossier.instruments)[name], file)

    for entry in analysis.dossier.logs:
        for form in _LOG_FORMS:
            yield (
                f"log-{file_name(entry.name)}.{form}",
                partial(_written, f".{form}", partial(plotted, entry.name)),
            )


def _stills_zip(analysis: Analysis, folder: Path, stills: StillsAsked) -> bytes:
    """Stills with the page that steps through them, as one archive."""
    import io
    import zipfile

    from lidoff.report import story_of, write_stills

    packed = io.BytesIO()
    with tempfile.TemporaryDirectory() as place, zipfile.ZipFile(packed, "w") as archive:
        story = story_of(analysis, folder)
        files = write_stills(story, place, size=stills.size, dark=stills.dark, clear=stills.transparent)
        for file in files:
            # Pictures are packed already; without a date the same stills give the same bytes.
            archive.writestr(zipfile.ZipInfo(f"stills/{file.name}"), file.read_bytes())
    return packed.getvalue()
