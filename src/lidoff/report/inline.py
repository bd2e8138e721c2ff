"""A schematic made fit to stand inside a page: its style kept to itself, its ids its own, its colours the page's."""

from __future__ import annotations

import re
from collections.abc import Mapping
from xml.etree import ElementTree

from lidoff.report.model import Picture
from lidoff.report.words import anchor, clean
from lidoff.schematic import Drawing, theme_named

__all__ = ["page_colours", "restyled", "schematic_picture"]

_SVG = "{http://www.w3.org/2000/svg}"
AMBER_INK = "#8a5808"
"""The accent, dark enough to be read as text on white (contrast above 4.5 to 1, WCAG 2.2, 1.4.3)."""
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")


def schematic_picture(drawing: Drawing, name: str, *, sheet: int = 0, trim: float = 0.0) -> Picture:
    """Picture of one sheet of a drawing for page and paper.

    Parameters
    ----------
    drawing : Drawing
    name : str
        Of the figure; every id in the page's SVG starts with it.
    sheet : int, optional
        Number of the sheet, from zero.
    trim : float, optional
        What to take off its free edge on every side [px].

    Returns
    -------
    Picture
    """
    wide, width, height = restyled(
        drawing.to_svg(theme="light", sheet=sheet), name, page_colours(), trim=trim
    )
    paper, _, _ = restyled(
        drawing.to_svg(theme="print", sheet=sheet),
        name,
        {theme_named("print").accent: AMBER_INK},
        trim=trim,
    )
    return Picture(wide=wide, paper=paper, width=width, height=height, scrolls=True)


def page_colours() -> Mapping[str, str]:
    """Colour of the light theme → variable of the page's style."""
    theme = theme_named("light")
    return {
        theme.paper: "var(--paper)",
        theme.ink: "var(--ink)",
        theme.quiet: "var(--quiet)",
        theme.accent: "var(--amber-ink)",
        theme.supply: "var(--supply)",
        theme.ground: "var(--slate)",
    }


def restyled(
    svg: str,
    name: str,
    colours: Mapping[str, str],
    *,
    trim: float = 0.0,
    window: tuple[float, float, float, float] | None = None,
) -> tuple[str, float, float]:
    """SVG document → element that may stand beside others in a page, with its natural width and height [px].

    Parameters
    ----------
    svg : str
        Complete document, made by us.
    name : str
        Prefix for its ids and class for its style.
    colours : mapping of str to str
        What each colour of its style becomes.
    trim : float, optional
        What to take off its free edge on every side [px].
    window : (left, top, width, height), optional
        The only stretch of it that is shown [px].

    Returns
    -------
    svg : str
        Also a document by itself.
    width, height : float
    """
    root = ElementTree.fromstring(clean(svg))
    scope = anchor("figure", name)
    _, _, width, height = (float(number) for number in root.attrib["viewBox"].split())
    left, top, width, height = window or (trim, trim, width - 2 * trim, height - 2 * trim)
    root.attrib["viewBox"] = f"{left:g} {top:g} {width:g} {height:g}"
    root.attrib["width"], root.attrib["height"] = f"{width:g}", f"{height:g}"
    for element in root.iter():
        element.tag = element.tag.removeprefix(_SVG)
        if "id" in element.attrib:
            element.attrib["id"] = f"{scope}-{element.attrib['id']}"
        if element.tag == "style":
            element.text = _scoped(element.text or "", scope, colours)
    root.attrib["aria-labelledby"] = f"{scope}-drawing-description"
    root.attrib["class"] = f"schematic {scope}"
    for title in root.findall("title"):  # a tooltip over the whole drawing would hide those of its parts
        root.remove(title)
    root.attrib["xmlns"] = _SVG.strip("{}")
    return ElementTree.tostring(root, encoding="unicode"), width, height


def _scoped(style: str, scope: str, colours: Mapping[str, str]) -> str:
    """Flat style sheet held to one drawing, with colours as variables."""
    rules = []
    for selectors, declarations in _RULE.findall(style):
        held = ",".join(f".{scope} {selector.strip()}" for selector in selectors.split(","))
        told = declarations
        for colour, variable in colours.items():
            told = told.replace(colour, variable)
        rules.append(f"{held}{{{told}}}")
    return "".join(rules)
