"""Stills on disk: numbered PNGs, and one page that steps through them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal

from lidoff.dossier import Analysis, Progress
from lidoff.errors import ImpossibleValue
from lidoff.fonts import font_folder
from lidoff.report.scene import Still, Story, stills_of
from lidoff.report.stage import SHAPES, Stage, framed, stage_of
from lidoff.report.style import NumberStyle, style_of, styled, styled_svg
from lidoff.report.words import typeset
from lidoff.report.writing import boards_of, file_name, write_file

__all__ = ["SIZES", "still_svg", "stills_png", "story_of", "write_stills"]

SIZES: dict[str, tuple[Literal["wide", "tall"], float]] = {
    "1920x1080": ("wide", 1.0),
    "3840x2160": ("wide", 2.0),
    "1080x1920": ("tall", 1.0),
}
"""Size in pixels → shape, and how much it is enlarged."""
PLAIN = NumberStyle()
_SOURCE = """#set document(title: "stills")
#set page(width: WIDTHpt, height: HEIGHTpt, margin: 0pt, fill: FILL)
#for number in range(int(sys.inputs.count)) {
  page(image("still" + str(number) + ".svg", width: WIDTHpt, height: HEIGHTpt, alt: "still"))
}
"""


def story_of(analysis: Analysis, folder: str | Path | None = None) -> Story:
    """What stills tell of: an analysis, and the boards in the dossier's folder.

    Parameters
    ----------
    analysis : Analysis
    folder : str or Path, optional
        Of the dossier; without it no board is shown.

    Returns
    -------
    Story
    """
    return Story(analysis=analysis, boards=boards_of(analysis, folder))


def still_svg(still: Still, stage: Stage, *, foot: str = "", style: NumberStyle = PLAIN) -> str:
    """One still as an SVG document.

    Parameters
    ----------
    still : Still
    stage : Stage
        From `stage_of`.
    foot : str, optional
        Small print at the lower left.
    style : NumberStyle, optional
        How numbers are printed.

    Returns
    -------
    str
        Complete, with its caption and foot.
    """
    told = typeset(styled(still.caption, style))
    body = still.paint(stage, told)
    caption, small = ("", "") if still.bare else (told, typeset(foot))
    return styled_svg(framed(stage, caption, body, foot=small, aside=typeset(still.aside)), style)


def stills_png(svgs: Sequence[str], stage: Stage, *, enlarged: float = 1.0) -> tuple[bytes, ...]:
    """PNG of each SVG, set by the typesetter with the typeface that is shipped.

    Parameters
    ----------
    svgs : sequence of str
        From `still_svg`, all for the same stage.
    stage : Stage
    enlarged : float, optional
        Pixels of the PNG to one of the stage.

    Returns
    -------
    tuple of bytes
        In the same order.
    """
    import tempfile

    import typst

    if not svgs:
        return ()
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        for number, svg in enumerate(svgs):
            (folder / f"still{number}.svg").write_text(svg, encoding="utf-8")
        source = folder / "stills.typ"
        told = _SOURCE.replace("WIDTH", f"{stage.width:g}").replace("HEIGHT", f"{stage.height:g}")
        source.write_text(told.replace("FILL", "none" if stage.clear else "white"), encoding="utf-8")
        made = typst.compile(
            str(source),
            format="png",
            ppi=72.0 * enlarged,
            font_paths=[str(font_folder())],
            ignore_system_fonts=True,
            sys_inputs={"count": str(len(svgs))},
        )
    return tuple(made) if isinstance(made, list) else (made,)


def write_stills(
    story: Story,
    folder: str | Path,
    *,
    size: str = "1920x1080",
    dark: bool = False,
    clear: bool = False,
    progress: Progress | None = None,
) -> tuple[Path, ...]:
    """Write the stills of a story as numbered PNGs, and a page that steps through them.

    Parameters
    ----------
    story : Story
        From `story_of`.
    folder : str or Path
        Is made if it is not there; stills of an earlier call that are no longer among them are taken away.
    size : str, optional
        A key of `SIZES`.
    dark : bool, optional
        Light ink on a dark ground.
    clear : bool, optional
        Without a ground, to lie over a moving picture.
    progress : callable (text, share), optional
        Told of each step before it starts.

    Returns
    -------
    tuple of Path
        The files written: ``walk.html``, then the PNGs in their order. The same story gives the same bytes.

    Raises
    ------
    ImpossibleValue
        There is no such size.
    UnknownName
        The dossier orders or captions a still that there cannot be.
    OutputRefused
        The folder cannot be made or written.
    """
    from lidoff.report.walk import walk_html

    if size not in SIZES:
        raise ImpossibleValue(f"stills of {size!r}", remedy=f"known sizes: {', '.join(SIZES)}")

    def tell(text: str, share: float) -> None:
        if progress is not None:
            progress(text, share)

    target = Path(folder)
    shape, enlarged = SIZES[size]
    assert shape in SHAPES
    stage = stage_of(shape, dark=dark, clear=clear)
    tell("choosing the stills", 0.0)
    stills = stills_of(story)
    foot = foot_of(story.analysis)
    tell("painting the stills", 0.1)
    style = style_of(story.analysis.dossier.publication)
    svgs = [still_svg(still, stage, foot=foot, style=style) for still in stills]
    tell("setting the stills", 0.3)
    written = [write_file(target / "walk.html", walk_html(story, stills).encode())]
    pictures = stills_png(svgs, stage, enlarged=enlarged)
    width = max(2, len(str(len(stills))))
    for number, (still, png) in enumerate(zip(stills, pictures, strict=True), start=1):
        tell(f"writing {still.name}", 0.7 + 0.3 * number / len(stills))
        name = f"{number:0{width}d}-{file_name(still.name)}.png"
        written.append(write_file(target / name, png))
    kept = {file.name for file in written}
    for old in target.glob("[0-9][0-9]*-*.png"):
        if old.name not in kept:
            old.unlink()
    tell("done", 1.0)
    return tuple(written)


def foot_of(analysis: Analysis) -> str:
    """Small print of every still: what was taken apart, and that it is invented where it is."""
    title = analysis.dossier.publication.title or analysis.dossier.device.title
    return f"{title} · invented demonstration" if analysis.dossier.invented else title
