"""``lidoff demo``: an invented device, from its dossier to its report."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command
from lidoff.cli.screen import show_in_browser
from lidoff.cli.terminal import as_typed, plain

if TYPE_CHECKING:
    from pathlib import Path

__all__ = ["COMMAND"]

FIRST = "crumb-vacuum"


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "name", metavar="NAME", nargs="?", default=FIRST, help=f"which one ({FIRST} if not given)"
    )
    parser.add_argument("--list", action="store_true", help="name the demos and stop")
    parser.add_argument("--into", metavar="FOLDER", help="where to (lidoff-demo/NAME if not given)")
    parser.add_argument("--no-open", action="store_true", help="do not open the report in a browser")


def run(arguments: Namespace) -> None:
    """Copy a demo dossier, analyse it, report on it, and say where all of it lies."""
    from pathlib import Path

    from lidoff.cli.dossiers import analysed, out_folder, reported
    from lidoff.dossier.demos import copy_demo, demo_names, demos_folder
    from lidoff.report import summary_text

    demos = demos_folder()
    if arguments.list:
        print("\n".join(demo_names(demos)))
        return
    folder = Path(arguments.into) if arguments.into else Path("lidoff-demo") / arguments.name
    copied = copy_demo(demos, arguments.name, folder)
    for file in copied.kept:
        print(f"kept  {file}, which differs from the demo's own; --into NEW-FOLDER starts afresh")
    analysis = analysed(folder)
    files = reported(analysis, out_folder(folder), dossier_folder=folder)
    print(plain(summary_text(analysis)))
    print()
    print(_where_things_lie(folder, files))
    page, *_ = files
    if not arguments.no_open:
        show_in_browser(page.resolve().as_uri())


def _where_things_lie(folder: Path, files: tuple[Path, ...]) -> str:
    page, paper, *others = files
    lines = [
        "The device, the brand and the readings are invented.",
        "",
        f"{'report':8}{page}",
        f"{'':8}{page.resolve().as_uri()}",
        f"{'paper':8}{paper}",
        f"{'beside':8}{', '.join(file.name for file in others)}",
        f"{'dossier':8}{folder / 'dossier.toml'}",
        f"{'next':8}change a value in the dossier, then: {as_typed('report', str(folder))}",
    ]
    return "\n".join(lines)


COMMAND = Command(
    name="demo",
    summary="work through an invented device and show its report",
    description=(
        "Copies an invented dossier to a folder of yours, analyses it, writes its report, and opens that in a\n"
        "browser where there is a screen. A file that you have changed there is never written over."
    ),
    example="lidoff demo night-light --no-open",
    arguments=arguments,
    run=run,
)
