"""``lidoff start``: an empty dossier with every field explained."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command
from lidoff.cli.terminal import as_typed

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument("folder", metavar="DIR", help="folder to make for the device")


def run(arguments: Namespace) -> None:
    """Make the dossier and say what to do next."""
    from lidoff.dossier import start_dossier

    file, *_ = start_dossier(arguments.folder)
    print(f"made  {file}")
    print("next  open that file, put your device in place of the invented one, then")
    print(f"      {as_typed('analyse', arguments.folder)}")


COMMAND = Command(
    name="start",
    summary="make a dossier for a device",
    description=(
        "Makes a folder for one device with a dossier.toml that explains its fields and can be analysed as\n"
        "it stands. Nothing that is there already is changed."
    ),
    example="lidoff start desk-fan",
    arguments=arguments,
    run=run,
)
