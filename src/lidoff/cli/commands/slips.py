"""``lidoff slips``: slips that would explain the readings, ranked."""

from __future__ import annotations

from argparse import Namespace

from lidoff.cli.command import Command
from lidoff.cli.proposing import proposing_arguments, tell_proposals

__all__ = ["COMMAND"]


def run(arguments: Namespace) -> None:
    """Rank and print."""
    from lidoff.dossier import slips_of
    from lidoff.report import slips_text

    tell_proposals(arguments, slips_of, slips_text)


COMMAND = Command(
    name="slips",
    summary="rank which slips of tracing or reading would explain the readings",
    description=(
        "Tries every single slip of tracing, of reading a marking and of writing a number down, and the\n"
        "likeliest pairs, on the circuit, holds each against all readings and beeps, and ranks them by\n"
        "probability, with the readings that would tell them apart. It changes no file."
    ),
    example="lidoff slips desk-fan",
    arguments=proposing_arguments,
    run=run,
)
