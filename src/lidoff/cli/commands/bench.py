"""``lidoff bench``: a dossier on a page of the browser."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import Command

if TYPE_CHECKING:
    from lidoff.bench import Served

__all__ = ["COMMAND"]

FRESH = "lidoff-dossier"


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "dossier",
        metavar="DIR",
        nargs="?",
        default=FRESH,
        help=f"the dossier; a folder without one is offered a beginning ({FRESH} if not given)",
    )
    parser.add_argument(
        "--port", type=int, metavar="NUMBER", help="port to listen on (a free one if not given)"
    )
    parser.add_argument("--no-open", action="store_true", help="do not open the page in a browser")
    parser.add_argument(
        "--phone",
        action="store_true",
        help="listen on the local network too, so that a phone can be let in by a code",
    )
    parser.add_argument(
        "--shelf", metavar="FOLDER", help="folder that other dossiers lie in (the one that DIR lies in)"
    )
    parser.add_argument(
        "--through",
        metavar="BACKEND",
        default="@py",
        help="what PyVISA speaks to live meters through (@py; @ivi for a vendor's)",
    )
    parser.add_argument("--index", metavar="FILE", help="where the shelf's index lies (FOLDER/shelf.sqlite)")


def run(arguments: Namespace) -> None:
    """Serve until Ctrl-C."""
    from dataclasses import replace
    from pathlib import Path

    from lidoff.bench import Settings, check_built, serve
    from lidoff.cli.dossiers import make_folder
    from lidoff.cli.screen import show_in_browser
    from lidoff.cli.terminal import plain

    check_built()
    folder = Path(arguments.dossier)
    make_folder(folder)
    settings = Settings(
        shelf=Path(arguments.shelf) if arguments.shelf else None,
        index=Path(arguments.index) if arguments.index else None,
        meters_through=arguments.through,
    )
    if arguments.port is not None:
        settings = replace(settings, port=arguments.port, port_is_fixed=True)

    def told(served: Served) -> None:
        print(plain(f"dossier  {folder}"))
        if served.migrated:
            print(plain(f"format   {served.migrated}"))
        print(f"page     {served.address}")
        if arguments.phone:
            print(f"phone    {served.phone or 'this computer is in no network'}")
        print("end      Ctrl-C; every change is on the disk already", flush=True)
        if not arguments.no_open:
            show_in_browser(served.address)

    serve(folder, settings, phone=arguments.phone, told=told)


COMMAND = Command(
    name="bench",
    summary="work on a dossier in the browser",
    description=(
        "Opens a page on which a dossier goes from box to report: evidence, boards, circuit, findings,\n"
        "report. The page is served to this computer alone. Every change is on the disk before the page\n"
        "shows it, and can be taken back. A folder without a dossier is offered an empty one or a copy of\n"
        "an invented device."
    ),
    example="lidoff bench desk-fan",
    arguments=arguments,
    run=run,
)
