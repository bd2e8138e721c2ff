"""The commands, one module each, listed in the order of the job.

A module here loads nothing heavy by itself: ``lidoff --help`` reads them all.
"""

from lidoff.cli.commands import (
    analyse,
    bench,
    compare,
    decode,
    demo,
    draw,
    explain,
    log,
    migrate,
    next,
    record,
    report,
    shelf,
    slips,
    start,
    stills,
    trace,
)

__all__ = ["COMMANDS"]

COMMANDS = (
    start.COMMAND,
    bench.COMMAND,
    decode.COMMAND,
    record.COMMAND,
    log.COMMAND,
    trace.COMMAND,
    draw.COMMAND,
    analyse.COMMAND,
    explain.COMMAND,
    compare.COMMAND,
    slips.COMMAND,
    next.COMMAND,
    report.COMMAND,
    stills.COMMAND,
    shelf.COMMAND,
    migrate.COMMAND,
    demo.COMMAND,
)
