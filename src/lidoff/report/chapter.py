"""What a chapter of a report must tell about itself; chapters are an open family in ``sections``."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.dossier import Analysis
from lidoff.report.boards import BoardView
from lidoff.report.model import Block

__all__ = ["Chapter", "all_chapters", "chapters_in_order"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chapter:
    """One chapter that a report can have.

    Attributes
    ----------
    name : str
        Its anchor in the report.
    title : str
        Its heading.
    place : int
        Chapters stand in the order of this number.
    build : callable (Analysis) → tuple of Block
        Pure; without blocks the report leaves the chapter out.
    says : str
        One sentence on what it tells.
    with_boards : callable (Analysis, sequence of BoardView) → tuple of Block, optional
        In place of ``build`` where the boards of the dossier's folder are at hand.
    """

    name: str
    title: str
    place: int
    build: Callable[[Analysis], tuple[Block, ...]]
    says: str
    with_boards: Callable[[Analysis, Sequence[BoardView]], tuple[Block, ...]] | None = None

    def blocks(self, analysis: Analysis, boards: Sequence[BoardView]) -> tuple[Block, ...]:
        """What it tells of an analysis and of traced boards."""
        return self.build(analysis) if self.with_boards is None else self.with_boards(analysis, boards)


@cache
def all_chapters() -> Mapping[str, Chapter]:
    """Every chapter by name, sorted."""
    from lidoff.report import sections

    return catalogue(sections, of=Chapter)


def chapters_in_order() -> tuple[Chapter, ...]:
    """Every chapter in the order of the report."""
    return tuple(sorted(all_chapters().values(), key=lambda chapter: (chapter.place, chapter.name)))
