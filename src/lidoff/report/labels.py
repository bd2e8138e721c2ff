"""The fixed words of a page that belong to no chapter."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Labels"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Labels:
    """Words round the chapters.

    Attributes
    ----------
    what : str
        What the page is.
    skip, contents : str
        The way to the findings, and the name of the list of chapters.
    table, figure, page, of : str
        Before numbers.
    invented : str
        Before the words that a device is made up.
    drawing, fold : str
        Name of a drawing that can be moved, and what opens one that is folded away.
    foot, made : str
        At the foot of each page of paper, and at the end.
    """

    what: str = "Teardown report"
    skip: str = "Go to the findings"
    contents: str = "Contents"
    table: str = "Table"
    figure: str = "Figure"
    page: str = "Page"
    of: str = "of"
    invented: str = "Invented demonstration."
    drawing: str = "Schematic, can be scrolled"
    fold: str = "Show the schematic with these voltages"
    foot: str = "Says what was checked, against what, and what was not."
    made: str = ""
