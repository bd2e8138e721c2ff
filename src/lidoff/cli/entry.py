"""From a command line to an exit code.

Exit codes: 0 it ran, 2 unusable input, 3 the circuit would not settle, 130 stopped with Ctrl-C, and 1 where
lidoff itself failed.
"""

from __future__ import annotations

import errno
import os
import sys
from argparse import Namespace
from collections.abc import Sequence

from lidoff.cli.command import Command
from lidoff.cli.commands import COMMANDS
from lidoff.cli.parser import argument_parser

__all__ = ["main"]

FAULT_OF_OUR_OWN = 1
STOPPED = 130


def main(argv: Sequence[str] | None = None, *, commands: Sequence[Command] = COMMANDS) -> int:
    """Run one command line.

    Parameters
    ----------
    argv : sequence of str, optional
        Words after the program's name; those of this process if not given.
    commands : sequence of Command
        What can be asked for, in the order of the help.

    Returns
    -------
    int
        Exit code.
    """
    words = list(sys.argv[1:] if argv is None else argv)
    # A terminal of an older encoding gets Ω as \u03a9 in place of a crash half-way through the output.
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    try:
        arguments = _read(words, commands)
        arguments.run(arguments)
        sys.stdout.flush()
    except KeyboardInterrupt:
        # A terminal has printed ^C on this line.
        line_end = "\n" if sys.stderr.isatty() else ""
        print(f"{line_end}stopped with Ctrl-C before the end", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # The reader of our output has gone, as `head` does; there is nobody left to tell.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except Exception as error:
        return _tell(error, debug="--debug" in words or os.environ.get("LIDOFF_DEBUG", "") not in ("", "0"))
    return 0


def _read(words: list[str], commands: Sequence[Command]) -> Namespace:
    parser = argument_parser(commands)
    first = next((word for word in words if not word.startswith("-")), None)
    names = [command.name for command in commands]
    if first is not None and first not in names:
        from lidoff.errors import UnknownName

        raise UnknownName(f"there is no command {first!r}", name=first, known=names)
    arguments = parser.parse_args(words)
    if arguments.command is None:
        parser.print_help()
        arguments.run = lambda _: None
    return arguments


def _tell(error: Exception, *, debug: bool) -> int:
    from lidoff.cli.terminal import cut, plain
    from lidoff.cli.trouble import error_text
    from lidoff.errors import LidoffError, OutputRefused

    if debug:
        import traceback

        traceback.print_exception(error)
    if isinstance(error, OSError) and error.filename is not None:
        # The rooms say what each of their files is for; this is the rest, such as a disk that is taken away.
        error = OutputRefused(
            f"the computer refused: {error.strerror}",
            where=str(error.filename),
            remedy="look at its permissions and at the room on the disk, or name another folder",
        )
    elif isinstance(error, OSError) and error.errno in (errno.ENOSPC, errno.EDQUOT):
        error = OutputRefused(
            f"the computer refused what was printed: {error.strerror}",
            remedy="make room on the disk that the output is sent to, or send it elsewhere",
        )
    if isinstance(error, LidoffError):
        print(error_text(error), file=sys.stderr)
        return error.exit_code
    if not debug:
        print(
            f"error: lidoff itself failed ({type(error).__name__}: {plain(cut(str(error)))})\n"
            "  what to do: please report it with what the same command prints with --debug",
            file=sys.stderr,
        )
    return FAULT_OF_OUR_OWN
