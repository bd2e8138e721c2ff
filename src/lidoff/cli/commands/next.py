"""``lidoff next``: readings to take next, ranked."""

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
    from lidoff.dossier import next_readings_of, proposals_json

    dossier = read_dossier(arguments.dossier)
    with progress_line() as progress:
        reasoned = next_readings_of(dossier, progress=progress)
    if arguments.json:
        import json

        print(json.dumps(proposals_json(reasoned), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        from lidoff.report import next_text

        print(plain(next_text(reasoned)))


COMMAND = Command(
    name="next",
    summary="tell which reading to take next",
    description=(
        "Weighs the readings that could still be taken, powered and without power, by how much each is\n"
        "expected to tell for its effort and risk. What a reading without power can tell is not proposed\n"
        "on live mains. It changes no file."
    ),
    example="lidoff next desk-fan",
    arguments=arguments,
    run=run,
)
