"""What every command must tell about itself."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from collections.abc import Callable
from typing import NamedTuple

__all__ = ["Command", "add_dossier"]


# A named tuple: the machinery of dataclasses alone takes as long to load as a bare interpreter to start.
class Command(NamedTuple):
    """One command: its words for the help, its arguments, and the step it runs.

    Parameters
    ----------
    name : str
        The verb to type.
    summary : str
        One line for the list of commands.
    description : str
        What it does and where its results go, for a newcomer.
    example : str
        One command line as a person would type it.
    arguments : callable
        Adds the command's arguments to a parser.
    run : callable
        Does the step with the parsed arguments; errors are left to the caller.
    """

    name: str
    summary: str
    description: str
    example: str
    arguments: Callable[[ArgumentParser], None]
    run: Callable[[Namespace], None]


def add_dossier(parser: ArgumentParser) -> None:
    """Let a command take the folder of a dossier.

    Parameters
    ----------
    parser : ArgumentParser
        Of the command; the folder becomes ``dossier``.
    """
    parser.add_argument("dossier", metavar="DIR", help="the dossier: a folder that holds dossier.toml")
