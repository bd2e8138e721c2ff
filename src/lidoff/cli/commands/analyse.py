"""``lidoff analyse``: claims judged, readings compared, findings listed."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command, add_dossier
from lidoff.cli.terminal import plain

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument("--json", action="store_true", help="print every number as JSON, for programs")


def run(arguments: Namespace) -> None:
    """Analyse and print, for a person or for a program."""
    from lidoff.cli.dossiers import analysed

    analysis = analysed(arguments.dossier)
    if arguments.json:
        import json

        from lidoff.dossier import analysis_json

        print(json.dumps(analysis_json(analysis), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        from lidoff.report import summary_text

        print(plain(summary_text(analysis)))


COMMAND = Command(
    name="analyse",
    summary="judge the claims, compare the readings, list what was found",
    description=(
        "Solves the circuit in every situation of the dossier, compares the readings with it, judges what\n"
        "the device claims, and prints what was found, the gravest first. It changes no file."
    ),
    example="lidoff analyse desk-fan",
    arguments=arguments,
    run=run,
)
