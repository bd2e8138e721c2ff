"""Drawings as PDF and PNG, set by the typesetter with the typeface that is shipped."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from lidoff.errors import ImpossibleValue, OutputRefused
from lidoff.fonts import font_folder
from lidoff.schematic.drawing import Drawing

__all__ = ["write_pdf", "write_png"]

_SOURCE = """#set page(width: auto, height: auto, margin: 0pt)
#for name in sys.inputs.files.split("|") { page(image(name, width: WIDTH, alt: sys.inputs.title)) }
"""


def write_pdf(drawing: Drawing, path: Path, *, theme: str = "print") -> None:
    """Write a PDF, a page a sheet.

    Parameters
    ----------
    drawing : Drawing
        From `draw`.
    path : Path
        File to write.
    theme : str
        Colours.

    Raises
    ------
    OutputRefused
        The file cannot be written.
    """
    data = _compile(drawing, range(len(drawing.sheets)), theme, "pdf", 72.0, "auto")
    _write(path, data)


def write_png(
    drawing: Drawing, path: Path, *, width: int = 1600, theme: str = "light", sheet: int | None = None
) -> None:
    """Write a PNG.

    Parameters
    ----------
    drawing : Drawing
        From `draw`.
    path : Path
        File to write.
    width : int
        Of the picture in pixels.
    theme : str
        Colours.
    sheet : int, optional
        One sheet alone; else all under one another.

    Raises
    ------
    ImpossibleValue
        The width is not between 16 and 20 000 pixels, or there is no such sheet.
    OutputRefused
        The file cannot be written.
    """
    if not 16 <= width <= 20_000:
        raise ImpossibleValue(f"a width of {width} pixels", remedy="give 16 to 20000")
    data = _compile(drawing, [sheet], theme, "png", 72.0, f"{width}pt")
    _write(path, data)


def _compile(
    drawing: Drawing,
    sheets: Sequence[int | None],
    theme: str,
    kind: Literal["pdf", "png"],
    density: float,
    width: str,
) -> bytes:
    import tempfile

    import typst

    with tempfile.TemporaryDirectory() as folder:
        names = []
        for number, sheet in enumerate(sheets):
            name = f"sheet{number}.svg"
            (Path(folder) / name).write_text(drawing.to_svg(theme=theme, sheet=sheet), encoding="utf-8")
            names.append(name)
        source = Path(folder) / "drawing.typ"
        source.write_text(_SOURCE.replace("WIDTH", width), encoding="utf-8")
        made = typst.compile(
            str(source),
            format=kind,
            ppi=density,
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            sys_inputs={"files": "|".join(names), "title": drawing.circuit.title or "schematic"},
        )
    if isinstance(made, list):
        made = made[0]
    assert isinstance(made, bytes)
    return made


def _write(path: Path, data: bytes) -> None:
    try:
        path.write_bytes(data)
    except OSError as error:
        raise OutputRefused(
            f"the drawing cannot be written: {error.strerror}", where=str(path), remedy="choose another place"
        ) from error
