"""One explanation of all readings, with its probability: a slip, two, none, or a cause that is on no list."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.insight.slip import Slip
from lidoff.insight.variant import AS_TRACED, Variant
from lidoff.quantities import Quantity

__all__ = ["Believed", "together"]

UNSEEN = 0.5
"""Logarithm of a likelihood ratio below which readings say nothing; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Believed:
    """One explanation of the readings with its probability.

    Attributes
    ----------
    kind : str
        Kind of slip; two with a plus between them; ``none``, ``value``, ``reading`` or ``unlisted``.
    title : str
        What is wrong.
    probability : float
        After the readings.
    slips : tuple of Slip
        The slips that it is made of, one for each of the two in a pair; empty for none.
    alike : tuple of str
        Other slips that make the same circuit and so cannot be told apart by any reading.
    gain : float
        Natural logarithm of how many times likelier the readings are than without it; zero where no reading is touched.
    chi_square : float
        Misfit of all displayed numbers that is left.
    parts, nets, readings : tuple of str
        What it is about.
    parameter : tuple of (str, str) or None
        Reference and parameter of which the value is otherwise than written by an unknown amount.
    value : Quantity or None
        The value that fits best, where one was looked for and found.
    """

    kind: str
    title: str
    probability: float
    slips: tuple[Slip, ...] = ()
    alike: tuple[str, ...] = ()
    gain: float = 0.0
    chi_square: float = 0.0
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    parameter: tuple[str, str] | None = None
    value: Quantity | None = None

    @property
    def is_seen(self) -> bool:
        """Whether the readings speak for it or against it at all."""
        return abs(self.gain) > UNSEEN

    @property
    def variant(self) -> Variant:
        """Circuit and readings as they would then be."""
        return together(self.slips)


def together(group: Sequence[Slip]) -> Variant:
    """Variant of no slip, of one, or of two that go together.

    Parameters
    ----------
    group : sequence of Slip
        Those that happened.

    Returns
    -------
    Variant
        All at once.

    Raises
    ------
    ValueError
        Two of them touch the same thing.
    """
    variant = AS_TRACED
    for other in group:
        joined = variant.with_both(other.variant)
        if joined is None:
            raise ValueError(f"{other.title}: touches the same thing as another slip")
        variant = joined
    return variant
