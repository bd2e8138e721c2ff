"""Repeats of one reading, each looked at for itself: whether its range holds it, and whether it stands apart."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.quantities import furthest_repeat, grubbs_limit

__all__ = ["named_repeat", "repeats_apart"]

OUTLIER = 0.01
STRAGGLER = 0.05
"""Levels of the test from which a value is an outlier, or a straggler that is told and kept (ISO 5725-2:1994, 7.3.2.1)."""
SOURCE = "Grubbs' test, ISO 5725-2:1994, 7.3.4"


def named_repeat(shown: Sequence[str], place: int) -> str:
    """One repeat as a person names it; nothing but what was shown where there is one only."""
    return f"{shown[place]} (repeat {place + 1} of {len(shown)})" if len(shown) > 1 else shown[place]


def repeats_apart(
    shown: Sequence[str], values: Sequence[float], rounding: float
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Doubt and note about the repeat that lies furthest from the others.

    Parameters
    ----------
    shown : sequence of str
        What the display showed each time.
    values : sequence of float
        The same as numbers.
    rounding : float
        Standard uncertainty of the last digit, in their unit.

    Returns
    -------
    doubts : tuple of str
        That it is an outlier at 1 %; without a full stop.
    notes : tuple of str
        That it is a straggler, between 1 % and 5 %; sentences.

    References
    ----------
    .. [1] ISO 5725-2:1994, 7.3.2.1 and 7.3.4 (from memory).
    """
    if len(values) < 3:
        return (), ()
    place, distance = furthest_repeat(values, rounding=rounding)
    name = named_repeat(shown, place)
    if distance > grubbs_limit(len(values), OUTLIER):
        return (f"{name} is an outlier among its repeats ({SOURCE}, beyond 1 %)",), ()
    if distance > grubbs_limit(len(values), STRAGGLER):
        return (), (f"{name} lies apart from its repeats and was kept ({SOURCE}, between 1 % and 5 %).",)
    return (), ()
