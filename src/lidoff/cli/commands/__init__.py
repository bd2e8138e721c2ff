"""The commands, one module each, listed in the order of the job.

A module here loads nothing heavy by itself: ``lidoff --help`` reads them all.
"""

from lidoff.cli.commands import analyse, decode, demo, draw, report, start

__all__ = ["COMMANDS"]

COMMANDS = (
    start.COMMAND,
    decode.COMMAND,
    draw.COMMAND,
    analyse.COMMAND,
    report.COMMAND,
    demo.COMMAND,
)
