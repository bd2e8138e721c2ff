"""Reading the command line, and the help a newcomer reads first."""

from __future__ import annotations

from argparse import SUPPRESS, ArgumentParser, RawDescriptionHelpFormatter
from collections.abc import Iterable
from typing import NoReturn

import lidoff
from lidoff.cli.command import Command

__all__ = ["argument_parser"]

WELCOME = """\
Evidence from a teardown: what a device claims, what you measured, what its circuit does.

A dossier is the folder that holds one device: claims from the box, readings, parts and
wires in plain text. lidoff solves its circuit, judges the claims, says what does not
fit, draws the schematic and writes the report.
"""

FIRST_STEPS = """\
new here?  lidoff demo             works through an invented device and shows its report
           lidoff COMMAND --help   tells more about one command, with an example
"""


class _Parser(ArgumentParser):
    """A parser that hands its complaint to the one place where errors are shown."""

    def error(self, message: str) -> NoReturn:
        from lidoff.errors import CommandUnclear

        raise CommandUnclear(message, remedy=f"{self.prog} --help tells what it takes")


def argument_parser(commands: Iterable[Command]) -> ArgumentParser:
    """Parser for the whole command line.

    Parameters
    ----------
    commands : iterable of Command
        In the order of the job, as the help lists them.

    Returns
    -------
    ArgumentParser
        Its result holds the chosen command's name as ``command`` and its step as ``run``. It raises
        `CommandUnclear` on a command line that it cannot read.
    """
    commands = tuple(commands)
    width = max(len(command.name) for command in commands)
    listed = "\n".join(f"  {command.name:{width}}  {command.summary}" for command in commands)
    parser = _Parser(
        prog="lidoff",
        usage="lidoff COMMAND ...",
        description=f"{WELCOME}\ncommands, in the order of the job:\n{listed}",
        epilog=FIRST_STEPS,
        formatter_class=RawDescriptionHelpFormatter,
        allow_abbrev=False,
        add_help=False,
    )
    _add_common(parser)
    parser.add_argument(
        "--version",
        action="version",
        version=f"lidoff {lidoff.__version__}",
        help="print the version and stop",
    )
    chosen = parser.add_subparsers(dest="command", prog="lidoff", help=SUPPRESS)
    for command in commands:
        one = chosen.add_parser(
            command.name,
            description=command.description,
            epilog=f"example:\n  {command.example}",
            formatter_class=RawDescriptionHelpFormatter,
            allow_abbrev=False,
            add_help=False,
        )
        command.arguments(one)
        _add_common(one)
        one.set_defaults(run=command.run)
    return parser


def _add_common(parser: ArgumentParser) -> None:
    parser.add_argument("-h", "--help", action="help", help="print this and stop")
    # Taken before and after the command; SUPPRESS keeps the later parser from undoing the earlier's answer.
    parser.add_argument(
        "--debug",
        action="store_true",
        default=SUPPRESS,
        help="on an error, print where in the program it arose",
    )
