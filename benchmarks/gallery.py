"""``python -m benchmarks.gallery [NAME ...]``: draw the gallery into ``out/gallery`` as a contact sheet to be looked at.

Writes an SVG for each circuit and one HTML page with all of them, each with its quality figures; a name chooses those that
contain it.
"""

from __future__ import annotations

import sys
from dataclasses import fields
from html import escape
from pathlib import Path

from lidoff.schematic import Quality, draw, drawing_quality
from tests.schematic.gallery import GALLERY

FOLDER = Path("out") / "gallery"


def _figures(quality: Quality) -> str:
    told = []
    for one in fields(quality):
        value = getattr(quality, one.name)
        if value:
            told.append(
                f"{one.name.replace('_', ' ')} {value:.2f}"
                if isinstance(value, float)
                else f"{one.name.replace('_', ' ')} {value}"
            )
    return ", ".join(told)  # fmt: skip


def main(wanted: list[str]) -> int:
    """Draw and write; returns the exit code."""
    names = [name for name in GALLERY if not wanted or any(word in name for word in wanted)]
    if not names:
        print(f"no circuit of the gallery is named {' or '.join(wanted)}", file=sys.stderr)
        return 2
    FOLDER.mkdir(parents=True, exist_ok=True)
    cards = []
    for name in names:
        drawing = draw(GALLERY[name])
        svg = drawing.to_svg()
        (FOLDER / f"{name}.svg").write_text(svg, encoding="utf-8")
        figures = _figures(drawing_quality(drawing))
        cards.append(
            f'<figure><img src="{escape(name)}.svg" alt=""><figcaption>{escape(name)}: {escape(figures)}</figcaption></figure>'
        )
        print(f"{name}: {figures}", file=sys.stderr)
    page = (
        "<!doctype html><meta charset='utf-8'><title>Gallery</title><style>body{font:13px sans-serif;background:#ddd}"
        "figure{display:inline-block;margin:8px;background:#fff;padding:8px;vertical-align:top}figcaption{max-width:40em}</style>"
        + "".join(cards)
    )
    (FOLDER / "index.html").write_text(page, encoding="utf-8")
    print(FOLDER / "index.html")
    return 0  # fmt: skip


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
