"""``lidoff decode``: what a print on a part may mean."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command
from lidoff.cli.terminal import plain

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    parser.add_argument(
        "marking", metavar="TEXT", help="the print as it stands on the part, or colours by name"
    )


def run(arguments: Namespace) -> None:
    """Print every meaning, the likeliest first."""
    from datetime import date
    from textwrap import TextWrapper

    from lidoff.markings import decode, describe

    wrapper = TextWrapper(width=100, initial_indent="- ", subsequent_indent="  ")
    for meaning in decode(arguments.marking, today=date.today()):
        print(plain(wrapper.fill(describe(meaning))))


COMMAND = Command(
    name="decode",
    summary="what the print on a part may mean",
    description=(
        "Tells what a marking may mean, the likeliest first: resistor and capacitor codes, colour bands,\n"
        "chip sizes and well-known top marks. Several meanings can fit one print; a reading decides."
    ),
    example="lidoff decode 4k7",
    arguments=arguments,
    run=run,
)
