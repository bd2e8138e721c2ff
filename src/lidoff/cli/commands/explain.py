"""``lidoff explain``: how the circuit works, block by block."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from lidoff.cli.command import Command, add_dossier
from lidoff.cli.terminal import plain

__all__ = ["COMMAND"]


def arguments(parser: ArgumentParser) -> None:
    """Add what the command takes."""
    add_dossier(parser)


def run(arguments: Namespace) -> None:
    """Recognise and print."""
    from lidoff.cli.dossiers import analysed
    from lidoff.report import explained_text

    print(plain(explained_text(analysed(arguments.dossier))))


COMMAND = Command(
    name="explain",
    summary="tell how the circuit works, block by block",
    description=(
        "Tells the blocks of the circuit from the plug inward: what each is for, its sums with this\n"
        "circuit's own numbers and the readings beside them, what is unusual, what happens if a part\n"
        "fails. Then what the maker saved, and what chips without a name may be. It changes no file."
    ),
    example="lidoff explain desk-fan",
    arguments=arguments,
    run=run,
)
