"""Write the pages of the site that are made from the code: commands, checks, chapters and stills, and one page a room."""

from __future__ import annotations

import os
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import lidoff
from lidoff.cli.commands import COMMANDS
from lidoff.cli.parser import argument_parser
from lidoff.hazards import all_hazard_checks
from lidoff.report import all_scenes, chapters_in_order

DOCS = Path(__file__).parents[1] / "docs"
MADE = "Made from the code by `scripts/write_reference.py`: do not edit."
INNER = frozenset({"__main__", "bench", "cli", "fonts"})
"""Rooms without a public interface for Python."""


def commands_text() -> str:
    """Page of every command, with the help as a terminal shows it."""
    os.environ["COLUMNS"] = "96"
    os.environ["NO_COLOR"] = "1"
    parser = argument_parser(COMMANDS)
    chosen = next(
        action for action in parser._actions if action.dest == "command"
    )  # the one way to a command's own help
    assert isinstance(chosen.choices, dict)
    lines = ["# Commands", "", MADE, "", "```text", parser.format_help().rstrip(), "```"]
    for command in COMMANDS:
        lines += ["", f"## `lidoff {command.name}`", "", "```text"]
        lines += [chosen.choices[command.name].format_help().rstrip(), "```"]
    return "\n".join([*lines, ""])


def checks_text() -> str:
    """Page of every check for danger: what it looks at, where its limits come from, what it never covers."""
    return "\n".join([*_checks(), ""])


def _checks() -> Iterator[str]:
    yield "# Checks for danger"
    yield ""
    yield MADE
    yield ""
    yield "A check holds one thing against one limit. “Within the limit” says that this one limit is kept under the assumptions"
    yield "told with it, and nothing else. How the checks work is told in [Hazards](hazards.md). Local codes and those licensed"
    yield "for the work where you live go before anything printed here."
    for check in all_hazard_checks().values():
        yield ""
        yield f"## `{check.name}`: {check.title}"
        yield ""
        yield _sentence(check.says)
        yield ""
        yield f"Limits from: {_sentence(check.source)}"
        if check.cautions:
            yield ""
            yield f"Goes with the cautions: {', '.join(check.cautions)}."
        if check.not_checked:
            yield ""
            yield f"Never covers: {_sentence('; '.join(check.not_checked))}"


def chapters_text() -> str:
    """Page of every chapter of the report and every kind of still, in their order."""
    lines = [
        "# Chapters and stills",
        "",
        MADE,
        "",
        "## Chapters of the report",
        "",
        "In their usual order. Own words for a chapter go under `publication.words.NAME`, see [Report](report.md).",
        "",
        "| name | title | what it tells |",
        "|---|---|---|",
    ]
    lines += [f"| `{one.name}` | {one.title} | {one.says} |" for one in chapters_in_order()]
    lines += [
        "",
        "## Stills",
        "",
        "In their usual order. `publication.stills` chooses and orders them, `publication.captions` gives them other words.",
        "",
        "| name | what it shows | is left out where |",
        "|---|---|---|",
    ]
    scenes = sorted(all_scenes().values(), key=lambda scene: (scene.place, scene.name))
    lines += [f"| `{one.name}` | {one.says} | {one.needs} |" for one in scenes]
    return "\n".join([*lines, ""])


def rooms() -> tuple[str, ...]:
    """Rooms with an interface for Python, sorted."""
    return tuple(
        sorted(info.name for info in pkgutil.iter_modules(lidoff.__path__) if info.name not in INNER)
    )


def room_text(room: str) -> str:
    """Page of a room: every public name, from its docstring."""
    return (
        f"# `lidoff.{room}`\n\n{MADE}\n\n```{{eval-rst}}\n.. automodule:: lidoff.{room}\n   :members:\n```\n"
    )


def pages() -> dict[str, str]:
    """Path under ``docs`` of each page → its text."""
    return {
        "commands.md": commands_text(),
        "checks.md": checks_text(),
        "chapters-and-stills.md": chapters_text(),
        **{f"api/{room}.md": room_text(room) for room in rooms()},
    }


def _sentence(text: str) -> str:
    text = text.strip()
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "…")) else ".")


if __name__ == "__main__":
    made = pages()
    for old in (DOCS / "api").glob("*.md"):
        if f"api/{old.name}" not in made:
            old.unlink()
    for name, text in made.items():
        (DOCS / name).parent.mkdir(exist_ok=True)
        (DOCS / name).write_text(text, encoding="utf-8")
