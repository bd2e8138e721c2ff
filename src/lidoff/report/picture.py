"""A picture of a report, for every medium."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Picture"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """One picture for every medium.

    Attributes
    ----------
    wide : str
        SVG for a page, its colours as variables of the page's style.
    narrow : str
        The same for a phone; empty where the wide one serves.
    paper : str
        SVG for paper, its colours written out.
    width, height : float
        Of the wide picture at its natural size [px].
    scrolls : bool
        Whether it keeps a legible size on a phone and is moved under the finger.
    """

    wide: str
    paper: str
    width: float
    height: float
    narrow: str = ""
    scrolls: bool = False
