"""The commands of `lidoff`: words in, exit code out.

Knows how a person asks for a step of the job and how a terminal shows what came of it. Must not know any rule
of the job itself: each command calls the rooms below, loaded only when it runs, so that help is quick.
"""

from lidoff.cli.entry import main

__all__ = ["main"]
