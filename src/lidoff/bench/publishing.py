"""What is published: the report to look at, stills, and files to take away. Worked out in processes of their own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from lidoff.bench.analyst import analysis_of
from lidoff.bench.exporting import DrawAsked, StillsAsked, makers_of
from lidoff.bench.jobs import Teller
from lidoff.bench.models import Closed, Plain
from lidoff.errors import LidoffError, UnknownName

__all__ = [
    "STILLS",
    "StillTold",
    "publish",
    "report_page",
    "still_picture",
    "stills",
]


class StillTold(Closed):
    """One still: its name, what it shows, its caption, and whether it is among those shown."""

    name: str
    title: str
    caption: str
    shown: bool


STILLS = "stills"
"""Name under which the stills are asked for as files of their own when all is written into the folder."""


def report_page(texts: Mapping[str, str], folder: Path) -> str | LidoffError:
    """Report as one page; the error that stands in its way."""
    from lidoff.report import html_of, pages_of
    from lidoff.report.writing import boards_of

    try:
        analysis = analysis_of(texts, folder)
        return html_of(pages_of(analysis, boards_of(analysis, folder)))
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
    from lidoff.report.style import style_of

    try:
        story = story_of(analysis_of(texts, folder), folder)
        found = {still.name: still for still in stills_of(story)}
        if name not in found:
            raise UnknownName(f"there is no still {name!r}", name=name, known=found)
        stage = stage_of("wide")
        style = style_of(story.analysis.dossier.publication)
        svg = still_svg(found[name], stage, foot=foot_of(story.analysis), style=style)
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
        Names of files that can be taken away, or ``stills``.

    Returns
    -------
    dict
        ``files``, each with its path inside the folder.

    Raises
    ------
    DossierError, UnknownName, OutputRefused
        The dossier cannot be analysed, has no such file, or a file cannot be written.
    """
    from lidoff.report import story_of, write_stills
    from lidoff.report.writing import write_file

    tell("analysing", 0.0)
    analysis = analysis_of(texts, folder)
    makers = makers_of(analysis, folder, DrawAsked(), StillsAsked())
    out = folder / "out"
    for name in wanted:
        if name != STILLS and name not in makers:
            raise UnknownName(f"there is no {name} of this dossier", name=name, known=makers)
    written: list[Path] = []
    for number, name in enumerate(wanted):
        begin, end = (0.2 + 0.8 * (number + step) / len(wanted) for step in (0, 1))
        tell(f"writing {name}", begin)
        if name == STILLS:
            written += write_stills(
                story_of(analysis, folder), out / STILLS, progress=_share_of(tell, begin, end)
            )
        else:
            written.append(write_file(out / name, makers[name]()))
    return {"files": [{"path": one.relative_to(folder).as_posix()} for one in written]}


def _share_of(tell: Teller, begin: float, end: float) -> Callable[[str, float], None]:
    return lambda text, share: tell(text, begin + (end - begin) * share)
