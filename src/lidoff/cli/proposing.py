"""What ``slips`` and ``next`` have in common: a dossier is reasoned about, and what comes out is told or handed to programs."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING

from lidoff.cli.command import add_dossier

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Protocol

    from lidoff.dossier import Dossier, Progress, Reasoned

    class Reason(Protocol):
        """A way to reason about a dossier."""

        def __call__(self, dossier: Dossier, *, progress: Progress | None) -> Reasoned: ...


__all__ = ["proposing_arguments", "tell_proposals"]


def proposing_arguments(parser: ArgumentParser) -> None:
    """Add what both commands take."""
    add_dossier(parser)
    parser.add_argument("--json", action="store_true", help="print the result as JSON, for programs")


def tell_proposals(arguments: Namespace, reason: Reason, told: Callable[[Reasoned], str]) -> None:
    """Reason and print, for a person or for a program.

    Parameters
    ----------
    arguments : Namespace
        With what `proposing_arguments` added.
    reason : callable
        Dossier → what was reasoned.
    told : callable
        What was reasoned → text for a terminal.
    """
    from lidoff.cli.progress import progress_line
    from lidoff.cli.reading import read_dossier
    from lidoff.cli.terminal import plain
    from lidoff.dossier import proposals_json

    dossier = read_dossier(arguments.dossier)
    with progress_line() as progress:
        reasoned = reason(dossier, progress=progress)
    if arguments.json:
        import json

        print(json.dumps(proposals_json(reasoned), indent=2, ensure_ascii=False, allow_nan=False))
    else:
        print(plain(told(reasoned)))
