"""Where formulas and arrangements come from, named once."""

from __future__ import annotations

__all__ = ["OHM", "PRACTICE", "art", "erickson"]

OHM = "Ohm's law and Kirchhoff's laws"
PRACTICE = "common practice, no source"


def art(chapter: int) -> str:
    """Horowitz and Hill, by chapter."""
    return f"P. Horowitz, W. Hill, The Art of Electronics, 3rd ed., 2015, chapter {chapter} (chapter from memory)"


def erickson(chapter: int) -> str:
    """Erickson and Maksimović, by chapter."""
    return (
        f"R. W. Erickson, D. Maksimović, Fundamentals of Power Electronics, 2nd ed., 2001, chapter {chapter} "
        "(chapter from memory)"
    )
