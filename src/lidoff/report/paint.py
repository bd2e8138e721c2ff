"""Colours of charts, and the few SVG elements that charts are made of."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

from lidoff.fonts import FAMILY, text_width
from lidoff.report.model import Tone
from lidoff.report.words import clean
from lidoff.report.worked import FormulaRun

__all__ = [
    "PAGE",
    "PAPER",
    "STILL_DARK",
    "STILL_LIGHT",
    "Paint",
    "band",
    "figure_svg",
    "fitted",
    "formula_text",
    "formula_width",
    "line",
    "lines_of",
    "mark",
    "text",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Paint:
    """Colours of a chart, as CSS values.

    Attributes
    ----------
    ink, quiet, hairline : str
        Text, text that stands back, and rules.
    borne_out, not_borne_out, open : str
        Verdicts.
    zone : str
        Ground where a claim would hold or a reading agrees.
    ground : str
        Behind everything, to keep a mark's inside clear.
    accent, supply, slate : str
        What stands out, and supply and ground rails.
    """

    ink: str
    quiet: str
    hairline: str
    borne_out: str
    not_borne_out: str
    open: str
    zone: str
    ground: str
    accent: str
    supply: str
    slate: str

    def of(self, tone: Tone) -> str:
        """Colour of a tone."""
        colours = {"borne-out": self.borne_out, "not-borne-out": self.not_borne_out, "open": self.open}
        return colours.get(tone, self.ink)


SHIFTED = 0.7
"""Height of what is lowered or raised, against the rest."""
PAGE = Paint(
    ink="var(--ink)",
    quiet="var(--quiet)",
    hairline="var(--hairline)",
    borne_out="var(--borne-out)",
    not_borne_out="var(--not-borne-out)",
    open="var(--open)",
    zone="var(--zone)",
    ground="var(--paper)",
    accent="var(--accent)",
    supply="var(--supply)",
    slate="var(--slate)",
)
"""Variables of the page's style, so that a chart follows light and dark."""
PAPER = Paint(
    ink="#1d2433",
    quiet="#565f6d",
    hairline="#cfc9bb",
    borne_out="#17696a",
    not_borne_out="#a8412f",
    open="#4a5a6a",
    zone="#dcebe8",
    ground="#ffffff",
    accent="#c8841a",
    supply="#a8412f",
    slate="#4a5a6a",
)
"""Colours written out, for paper."""
STILL_LIGHT = Paint(
    ink="#1d2433",
    quiet="#58606d",
    hairline="#ddd6c6",
    borne_out="#17696a",
    not_borne_out="#a8412f",
    open="#4a5a6a",
    zone="#dcebe5",
    ground="#faf7f0",
    accent="#c8841a",
    supply="#a8412f",
    slate="#4a5a6a",
)
"""Colours of a still."""
STILL_DARK = Paint(
    ink="#e9e4d8",
    quiet="#a4abb5",
    hairline="#363a40",
    borne_out="#6cc4be",
    not_borne_out="#ee9482",
    open="#a9b7c6",
    zone="#21393a",
    ground="#17191c",
    accent="#e0a03c",
    supply="#de7a66",
    slate="#93a7bb",
)
"""Colours of a still on a dark ground."""


def figure_svg(parts: Sequence[str], width: float, height: float) -> str:
    """SVG element of finished parts.

    Parameters
    ----------
    parts : sequence of str
        SVG elements.
    width, height : float
        Natural size [px].

    Returns
    -------
    str
        Without XML declaration.
    """
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(width)} {_n(height)}" width="{_n(width)}" '
        f'height="{_n(height)}" font-family="{FAMILY}, sans-serif">{"".join(parts)}</svg>'
    )


def text(
    said: str,
    x: float,
    y: float,
    *,
    colour: str,
    size: float = 14.0,
    anchor: str = "start",
    strong: bool = False,
) -> str:
    """One line of text with its baseline at y."""
    weight = ' font-weight="600"' if strong else ""
    place = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}"{weight}{place} style="fill:{colour}">'
        f"{escape(clean(said))}</text>"
    )


def formula_width(runs: Sequence[FormulaRun], size: float) -> float:
    """Width of a formula at a height of type [px]."""
    return sum(text_width(clean(run.text), SHIFTED * size if run.place else size) for run in runs)


def formula_text(runs: Sequence[FormulaRun], x: float, y: float, *, colour: str, size: float) -> str:
    """A formula with its baseline at y, letters lowered and raised."""
    spans, away = [], 0.0
    for run in runs:
        wanted = {"": 0.0, "lowered": 0.2 * size, "raised": -0.36 * size}[run.place]
        height = f' font-size="{_n(SHIFTED * size)}"' if run.place else ""
        shift = f' dy="{_n(wanted - away)}"' if wanted != away else ""
        spans.append(f"<tspan{shift}{height}>{escape(clean(run.text))}</tspan>")
        away = wanted
    return (
        f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" xml:space="preserve" style="fill:{colour}">'
        f"{''.join(spans)}</text>"
    )


def line(x0: float, y0: float, x1: float, y1: float, *, colour: str, width: float = 1.0) -> str:
    """One straight line."""
    return (
        f'<path d="M{_n(x0)} {_n(y0)}L{_n(x1)} {_n(y1)}" style="fill:none;stroke:{colour};stroke-width:{_n(width)};'
        'stroke-linecap:round"/>'
    )


def band(x0: float, y0: float, x1: float, y1: float, *, colour: str) -> str:
    """One tinted rectangle; nothing where it has no width."""
    if x1 <= x0:
        return ""
    return f'<rect x="{_n(x0)}" y="{_n(y0)}" width="{_n(x1 - x0)}" height="{_n(y1 - y0)}" rx="2" style="fill:{colour}"/>'


def mark(tone: Tone, x: float, y: float, *, paint: Paint, radius: float = 5.0) -> str:
    """Mark of a verdict, told apart by shape as well as colour: full disc, crossed lines, open ring.

    Parameters
    ----------
    tone : Tone
        Any other than a verdict's gives a full disc in ink.
    x, y : float
        Centre.
    paint : Paint
    radius : float, optional

    Returns
    -------
    str
        SVG elements.
    """
    colour = paint.of(tone)
    if tone == "not-borne-out":
        r = radius * 0.82
        cross = f"M{_n(x - r)} {_n(y - r)}L{_n(x + r)} {_n(y + r)}M{_n(x - r)} {_n(y + r)}L{_n(x + r)} {_n(y - r)}"
        cleared = f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius + 2.5)}" style="fill:{paint.ground}"/>'
        return (
            cleared
            + f'<path d="{cross}" style="fill:none;stroke:{colour};stroke-width:2.6;stroke-linecap:round"/>'
        )
    look = f"fill:{paint.ground};stroke:{colour};stroke-width:2.2" if tone == "open" else f"fill:{colour}"
    return f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" style="{look}"/>'


def fitted(said: str, room: float, size: float, *, strong: bool = False) -> str:
    """Text cut so that it fits the room, after a whole word where one fits, with an ellipsis where it was cut."""
    said = clean(said)
    if text_width(said, size, bold=strong) <= room:
        return said
    kept = said
    while kept and text_width(kept.rstrip() + "…", size, bold=strong) > room:
        kept = kept[:-1]
    whole = kept if said[len(kept) :].startswith(" ") else kept.rpartition(" ")[0]
    return (whole.rstrip(" ,;:(") or kept.rstrip()) + "…"


def lines_of(said: str, room: float, size: float, *, most: int = 2, strong: bool = False) -> list[str]:
    """Text broken between words into lines that fit the room; the last is cut where there are more than so many."""
    lines: list[str] = []
    rest = [word for word in re.split(r"[ \t\n]+", clean(said)) if word]  # not at no-break spaces
    while rest and len(lines) < most - 1:
        count = len(rest)
        while count > 1 and text_width(" ".join(rest[:count]), size, bold=strong) > room:
            count -= 1
        lines.append(fitted(" ".join(rest[:count]), room, size, strong=strong))
        rest = rest[count:]
    if rest:
        lines.append(fitted(" ".join(rest), room, size, strong=strong))
    return lines or [""]


def _n(number: float) -> str:
    """Number with no more digits than show."""
    shown = f"{number:.2f}".rstrip("0").rstrip(".")
    return "0" if shown == "-0" else shown
