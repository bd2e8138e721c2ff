"""The chart of a log as a file: SVG, or set by the typesetter as PNG or PDF with the typeface that is shipped."""

from __future__ import annotations

from pathlib import Path

from lidoff.dossier import write_whole
from lidoff.errors import OutputRefused, UnknownName
from lidoff.evidence import LogSummary
from lidoff.fonts import font_folder
from lidoff.report.logchart import log_file_svg

__all__ = ["write_log_plot"]

_SOURCE = """#set document(title: sys.inputs.title)
#set page(width: auto, height: auto, margin: 0pt)
#image("plot.svg", alt: sys.inputs.title)
"""
_PIXELS_PER_POINT = 2.0
_FORMS = (".svg", ".png", ".pdf")


def write_log_plot(summary: LogSummary, file: Path) -> None:
    """Write the chart of a log.

    Parameters
    ----------
    summary : LogSummary
        The log.
    file : Path
        Where it is to lie; the suffix tells the form, ``.svg``, ``.png`` or ``.pdf``.

    Raises
    ------
    OutputRefused
        The file cannot be written.
    UnknownName
        The suffix names no form.
    """
    form = file.suffix.lower()
    if form not in _FORMS:
        raise UnknownName(
            f"the suffix {file.suffix!r} names no form of plot" if file.suffix else "the plot has no suffix",
            where=str(file),
            name=file.suffix,
            known=_FORMS,
        )
    svg = log_file_svg(summary)
    if form == ".svg":
        write_whole(file, svg + "\n")
        return
    try:
        file.write_bytes(_typeset(svg, form, summary.log.name))
    except OSError as error:
        raise OutputRefused(
            f"the plot cannot be written: {error.strerror}", where=str(file), remedy="choose another place"
        ) from None


def _typeset(svg: str, form: str, title: str) -> bytes:
    import tempfile

    import typst

    with tempfile.TemporaryDirectory() as place:
        (Path(place) / "plot.svg").write_text(svg, encoding="utf-8")
        source = Path(place) / "plot.typ"
        source.write_text(_SOURCE, encoding="utf-8")
        made = typst.compile(
            str(source),
            format="png" if form == ".png" else "pdf",
            ppi=72.0 * _PIXELS_PER_POINT,
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            sys_inputs={"title": title},
        )
    if isinstance(made, list):
        made = made[0]
    assert isinstance(made, bytes)
    return made
