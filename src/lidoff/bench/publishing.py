"""What is published: the report to look at, stills, and files to take away. Worked out in processes of their own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from lidoff.bench.analyst import analysis_of
from lidoff.bench.jobs import Teller
from lidoff.bench.models import Closed, Plain
from lidoff.errors import LidoffError, UnknownName

if TYPE_CHECKING:
    pass

__all__ = [
    "EXPORTS",
    "ExportTold",
    "StillTold",
    "export",
    "publish",
    "report_page",
    "still_picture",
    "stills",
]


class ExportTold(Closed):
    """One file that can be taken away."""

    name: str
    title: str
    media: str


class StillTold(Closed):
    """One still: its name, what it shows, its caption, and whether it is among those shown."""

    name: str
    title: str
    caption: str
    shown: bool


EXPORTS = (
    ExportTold(name="report.html", title="report, one page for a browser", media="text/html"),
    ExportTold(name="report.pdf", title="report, on paper", media="application/pdf"),
    ExportTold(name="schematic.svg", title="schematic, as a drawing", media="image/svg+xml"),
    ExportTold(name="analysis.json", title="every number, for programs", media="application/json"),
    ExportTold(name="readings.csv", title="readings, as a table", media="text/csv"),
    ExportTold(name="parts.csv", title="parts, as a table", media="text/csv"),
    ExportTold(name="nets.csv", title="voltages of nets, as a table", media="text/csv"),
    ExportTold(name="currents.csv", title="currents and powers of parts, as a table", media="text/csv"),
)
"""Files that can be taken away one by one."""
STILLS = "stills"
"""Name under which the stills are asked for when all is written into the folder."""


def report_page(texts: Mapping[str, str], folder: Path) -> str | LidoffError:
    """Report as one page; the error that stands in its way."""
    from lidoff.report import html_of, pages_of

    try:
        return html_of(pages_of(analysis_of(texts, folder)))
    except LidoffError as error:
        return error


def export(texts: Mapping[str, str], folder: Path, name: str) -> bytes | LidoffError:
    """One file to take away; the error that stands in its way.

    Parameters
    ----------
    texts : mapping of str to str
        State of the dossier.
    folder : Path
        Of the dossier.
    name : str
        One of `EXPORTS`.

    Returns
    -------
    bytes or LidoffError
        Contents of the file.
    """
    import tempfile

    from lidoff.report import write_report

    try:
        if name == "report.html":
            page = report_page(texts, folder)
            return page.encode() if isinstance(page, str) else page
        with tempfile.TemporaryDirectory() as place:
            files = {file.name: file for file in write_report(analysis_of(texts, folder), place)}
            if name not in files:
                raise UnknownName(f"there is no {name} of this dossier", name=name, known=files)
            return files[name].read_bytes()
    except LidoffError as error:
        return error


def stills(texts: Mapping[str, str], folder: Path) -> list[dict[str, object]] | LidoffError:
    """Stills that are shown, in order, then those left out; the error that stands in their way."""
    from dataclasses import replace

    from lidoff.report import stills_of, story_of

    try:
        story = story_of(analysis_of(texts, folder), folder)
        shown = stills_of(story)
        publication = replace(story.analysis.dossier.publication, stills=())
        dossier = replace(story.analysis.dossier, publication=publication)
        every = stills_of(replace(story, analysis=replace(story.analysis, dossier=dossier)))
    except LidoffError as error:
        return error
    names = {still.name for still in shown}
    told = [(still, True) for still in shown] + [(still, False) for still in every if still.name not in names]
    return [
        {"name": still.name, "title": still.alt, "caption": still.caption, "shown": is_shown}
        for still, is_shown in told
    ]


def still_picture(texts: Mapping[str, str], folder: Path, name: str, width: int) -> bytes | LidoffError:
    """Picture of one still as PNG; the error that stands in its way."""
    from lidoff.report import stage_of, still_svg, stills_of, stills_png, story_of
    from lidoff.report.filming import foot_of

    try:
        story = story_of(analysis_of(texts, folder), folder)
        found = {still.name: still for still in stills_of(story)}
        if name not in found:
            raise UnknownName(f"there is no still {name!r}", name=name, known=found)
        stage = stage_of("wide")
        svg = still_svg(found[name], stage, foot=foot_of(story.analysis))
        return stills_png([svg], stage, enlarged=width / stage.width)[0]
    except LidoffError as error:
        return error


def publish(tell: Teller, texts: Mapping[str, str], folder: Path, wanted: tuple[str, ...]) -> Plain:
    """Write chosen files into the dossier's ``out``.

    Parameters
    ----------
    tell : callable (text, share)
        Told of progress.
    texts : mapping of str to str
        State of the dossier.
    folder : Path
        Of the dossier.
    wanted : tuple of str
        Names of `EXPORTS`, or ``stills``.

    Returns
    -------
    dict
        ``files``, each with its path inside the folder.

    Raises
    ------
    DossierError, OutputRefused
        The dossier cannot be analysed, or a file cannot be written.
    """
    import tempfile

    from lidoff.report import story_of, write_report, write_stills
    from lidoff.report.writing import write_file

    tell("analysing", 0.0)
    analysis = analysis_of(texts, folder)
    out = folder / "out"
    written: list[Path] = []
    reports = 0.6 if STILLS in wanted else 1.0
    if set(wanted) - {STILLS}:
        with tempfile.TemporaryDirectory() as place:
            files = write_report(analysis, place, progress=_share_of(tell, 0.2, reports))
            written += [write_file(out / one.name, one.read_bytes()) for one in files if one.name in wanted]
    if STILLS in wanted:
        story = story_of(analysis, folder)
        written += write_stills(story, out / STILLS, progress=_share_of(tell, reports, 1.0))
    return {"files": [{"path": one.relative_to(folder).as_posix()} for one in written]}


def _share_of(tell: Teller, begin: float, end: float) -> Callable[[str, float], None]:
    return lambda text, share: tell(text, begin + (end - begin) * share)
