"""``lidoff report``: the report of a dossier as a web page and as PDF."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command, add_dossier

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument(
        "-o", "--output", metavar="FOLDER", help="folder for the report (DIR/out if not given)"
    )


def run(arguments: Namespace) -> None:
    """Write the report and say where it lies."""
    from pathlib import Path

    from lidoff.cli.dossiers import analysed, out_folder, reported

    folder = Path(arguments.output) if arguments.output else out_folder(arguments.dossier)
    for file in reported(analysed(arguments.dossier), folder):
        print(file)


COMMAND = Command(
    name="report",
    summary="write the report, to read on a screen or on paper",
    description=(
        "Writes one web page that needs no other file, and a PDF: the claims with their verdicts, the\n"
        "readings, the schematic, what each part does, what was found, cautions, and how it was checked."
    ),
    example="lidoff report desk-fan",
    arguments=arguments,
    run=run,
)
