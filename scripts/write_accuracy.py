"""Write ``docs/accuracy.md``: ``.venv/bin/python -m scripts.write_accuracy [TOPIC ...]``; without a topic, every section.

Slips, next readings and fits record every case under ``build/accuracy``, so that what was interrupted goes on where it was;
``--as-recorded`` writes their sections from what is there. Each topic has a module in ``benchmarks`` whose ``section()``
returns its text; sections of other topics are left as they are.
"""

from __future__ import annotations

import importlib
import re
import sys
from pathlib import Path

PAGE = Path(__file__).parents[1] / "docs" / "accuracy.md"
SECTIONS = {
    "blocks": "benchmarks.accuracy_blocks",
    "unnamed": "benchmarks.accuracy_unnamed",
    "compare": "benchmarks.accuracy_compare",
    "boards": "benchmarks.accuracy_board",
    "slips": "benchmarks.accuracy_slips",
    "next": "benchmarks.accuracy_next",
    "fits": "benchmarks.accuracy_fits",
}
PAGES = {"boards": PAGE.with_name("accuracy-board.md")}
"""Topics with a page of their own."""
HEAD = """# How far to trust what is told

Every figure here is made by `.venv/bin/python -m scripts.write_accuracy`, or by that with a topic behind it. How true
tracing is stands in `accuracy-board.md`.
"""


def marked(topic: str, text: str) -> str:
    """A section between its marks."""
    return f"<!-- {topic}: made -->\n{text}<!-- {topic}: end -->\n"


def with_section(page: str, topic: str, text: str) -> str:
    """The page with a topic's section put in, where it stood or at the end."""
    found = re.compile(rf"<!-- {topic}: made -->\n.*?<!-- {topic}: end -->\n", re.DOTALL)
    if found.search(page):
        return found.sub(lambda _: marked(topic, text), page)
    return f"{page}\n{marked(topic, text)}"


if __name__ == "__main__":
    for topic in [word for word in sys.argv[1:] if not word.startswith("--")] or SECTIONS:
        file = PAGES.get(topic, PAGE)
        page = file.read_text(encoding="utf-8") if file.exists() else HEAD
        text = with_section(page, topic, importlib.import_module(SECTIONS[topic]).section())
        file.write_text(text, encoding="utf-8")
