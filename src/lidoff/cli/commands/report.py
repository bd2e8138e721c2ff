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
    parser.add_argument(
        "--language",
        metavar="CODE",
        default="",
        help="print lidoff's own words in this language, such as de: DIR/texts/de.json holds them, and is "
        "written with what still waits to be translated",
    )
    parser.add_argument("--archive", action="store_true", help="also write the dossier itself as dossier.zip")


def run(arguments: Namespace) -> None:
    """Write the report and say where it lies."""
    from pathlib import Path

    from lidoff.cli.dossiers import analysed, out_folder, reported

    folder = Path(arguments.output) if arguments.output else out_folder(arguments.dossier)
    files = reported(
        analysed(arguments.dossier),
        folder,
        dossier_folder=arguments.dossier,
        archive=arguments.archive,
        language=arguments.language,
    )
    for file in files:
        print(file)
    if arguments.language:
        from lidoff.report.translating import texts_file, translated_share

        texts = texts_file(arguments.dossier, arguments.language)
        done, of = translated_share(texts)
        print(f"{texts}: {done} of {of} phrases are translated")


COMMAND = Command(
    name="report",
    summary="write the report, to read on a screen or on paper",
    description=(
        "Writes one web page that needs no other file, and a PDF: the claims with their verdicts, the\n"
        "readings, the boards, the schematic, how it works, what was found, cautions, and how it was checked.\n"
        "Beside them the data: every table as CSV, the whole analysis as JSON, the netlist as plain text, and\n"
        "traced boards as IPC-D-356 for testers."
    ),
    example="lidoff report desk-fan",
    arguments=arguments,
    run=run,
)
