"""``lidoff slips``: slips that would explain the readings, ranked."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command, add_dossier
from lidoff.cli.terminal import plain

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)
    parser.add_argument("--json", action="store_true", help="print the result as JSON, for programs")


def run(arguments: Namespace) -> None:
    """Rank and print, for a person or for a program."""
    from lidoff.cli.progress import progress_line
    from lidoff.cli.reading import read_dossier
    from lidoff.dossier import proposals_json, slips_of

    dossier = read_dossier(arguments.dossier)
    with progress_line() as progress:
        reasoned = slips_of(dossier, progress=progress)
    if arguments.json:
        import json

        print(json.dumps(proposals_json(reasoned), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        from lidoff.report import slips_text

        print(plain(slips_text(reasoned)))


COMMAND = Command(
    name="slips",
    summary="rank which slips of tracing or reading would explain the readings",
    description=(
        "Tries every single slip of tracing, of reading a marking and of writing a number down, and the\n"
        "likeliest pairs, on the circuit, holds each against all readings and beeps, and ranks them by\n"
        "probability, with the readings that would tell them apart. It changes no file."
    ),
    example="lidoff slips desk-fan",
    arguments=arguments,
    run=run,
)
