"""``lidoff migrate``: dossiers of an older format brought to the newest, the originals kept."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command
from lidoff.cli.terminal import plain

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument("dossiers", metavar="DIR", nargs="+", help="dossiers, or folders that they lie in")


def run(arguments: Namespace) -> None:
    """Bring each one forward and say what was done; one that cannot be does not stop the others."""
    from pathlib import Path

    from lidoff.dossier import NEWEST, migrate_folder
    from lidoff.errors import DossierError, LidoffError
    from lidoff.meters import WallClock
    from lidoff.shelf import dossiers_under

    clock = WallClock()
    faults: list[LidoffError] = []
    for given in map(Path, arguments.dossiers):
        below = list(dossiers_under(given))
        if not below:
            faults.append(
                DossierError(
                    "there is no dossier here", where=str(given), remedy="name a dossier, or a folder of some"
                )
            )
        for name in below:
            folder = given / name
            try:
                done = migrate_folder(folder, lambda: clock.now().isoformat(timespec="seconds"))
            except LidoffError as error:
                if not error.where.startswith(str(folder)):
                    error.where = f"{folder}/{error.where}".rstrip("/")
                faults.append(error)
                continue
            print(plain(f"{folder}: {done or f'is in format {NEWEST} already'}"))
    if len(faults) == 1:
        raise faults[0]
    if faults:
        raise DossierError(f"{len(faults)} dossiers are as they were", faults=faults)


COMMAND = Command(
    name="migrate",
    summary="bring dossiers to the newest format",
    description=(
        "Rewrites dossier.toml of an older format in the newest, with its comments and its layout. The\n"
        "original is kept beside it byte by byte, such as dossier.format-1.toml, and so is the journal that\n"
        "leads to it. All commands read older formats as they are; the workbench does this by itself when\n"
        "it opens a dossier."
    ),
    example="lidoff migrate teardowns",
    arguments=arguments,
    run=run,
)
