"""`ReportPages` → one HTML page that needs nothing but itself."""

from __future__ import annotations

import base64
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from lidoff.fonts import FAMILY, font_folder
from lidoff.report.model import (
    Facts,
    Figure,
    Items,
    Notice,
    Paragraph,
    ReportPages,
    Subheading,
    Table,
    Verdicts,
    Workings,
)
from lidoff.report.prose import Prose
from lidoff.report.words import typeset

if TYPE_CHECKING:
    from jinja2 import Environment

__all__ = ["html_of", "packaged", "page_environment", "typeface"]

FACES = (("OpenSans-Regular.ttf", 400), ("OpenSans-Semibold.ttf", 600))
TEMPLATE = "page.html"
_NAMES = {
    Facts: "facts",
    Figure: "figure",
    Items: "items",
    Notice: "notice",
    Paragraph: "paragraph",
    Prose: "prose",
    Subheading: "subheading",
    Table: "table",
    Verdicts: "verdicts",
    Workings: "workings",
}
MARKS = {
    "borne-out": "full",
    "not-borne-out": "crossed",
    "open": "ring",
    "fault": "crossed",
    "caution": "bar",
    "note": "dash",
}
"""Tone → shape of its mark, so that no colour alone tells it."""


def html_of(pages: ReportPages) -> str:
    """Report as HTML, with its style, script, pictures and typeface inside.

    Parameters
    ----------
    pages : ReportPages

    Returns
    -------
    str
        Every text of the pages is escaped; only pictures drawn by lidoff are set in as they are.
    """
    from markupsafe import Markup

    return (
        page_environment()
        .get_template(TEMPLATE)
        .render(
            pages=pages,
            labels=pages.labels,
            style=Markup(packaged("page.css")),  # a file of this package
            faces=Markup(typeface()),  # made of the package's own fonts
            script=Markup(packaged("page.js")),  # a file of this package
        )
    )


@cache
def page_environment() -> Environment:
    """Templates of pages, in which every text is escaped and typeset."""
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    def shown(value: Any) -> Any:
        return typeset(value) if isinstance(value, str) and not isinstance(value, Markup) else value

    environment = Environment(
        loader=PackageLoader("lidoff.report", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=shown,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind_of_block"] = lambda block: _NAMES[type(block)]
    environment.filters["drawn"] = Markup  # for pictures alone, whose texts are escaped where they are drawn
    environment.filters["shape"] = lambda tone: MARKS.get(tone, "")
    return environment


def packaged(name: str) -> str:
    """Text of a file among the templates."""
    return resources.files("lidoff.report").joinpath("templates", name).read_text(encoding="utf-8")


@cache
def typeface() -> str:
    """Typeface as data inside the style."""
    rules = []
    for file, weight in FACES:
        data = base64.b64encode((font_folder() / file).read_bytes()).decode("ascii")
        rules.append(
            f'@font-face{{font-family:"{FAMILY}";font-weight:{weight};font-display:swap;'
            f'src:url("data:font/ttf;base64,{data}") format("truetype")}}'
        )
    return "".join(rules)
