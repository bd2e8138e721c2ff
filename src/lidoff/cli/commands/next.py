"""``lidoff next``: readings to take next, ranked."""

from __future__ import annotations

from argparse import Namespace

from lidoff.cli.command import Command
from lidoff.cli.proposing import proposing_arguments, tell_proposals

__all__ = ["COMMAND"]


def run(arguments: Namespace) -> None:
    """Rank and print."""
    from lidoff.dossier import next_readings_of
    from lidoff.report import next_text

    tell_proposals(arguments, next_readings_of, next_text)


COMMAND = Command(
    name="next",
    summary="tell which reading to take next",
    description=(
        "Weighs the readings that could still be taken, powered and without power, by how much each is\n"
        "expected to tell for its effort and risk. What a reading without power can tell is not proposed\n"
        "on live mains. It changes no file."
    ),
    example="lidoff next desk-fan",
    arguments=proposing_arguments,
    run=run,
)
