"""Worst cases: the smallest and largest result when every input may stand at a limit."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import product

from lidoff.errors import ImpossibleValue
from lidoff.quantities.slopes import evaluated

__all__ = ["Extremes", "extremes"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Extremes:
    """Smallest and largest result over all corners of the inputs' limits.

    Parameters
    ----------
    low, high : float
        The two results, in their unit.
    """

    low: float
    high: float


def extremes(
    function: Callable[..., float], values: Sequence[float], half_widths: Sequence[float]
) -> Extremes:
    """Smallest and largest result when every input may stand at either of its limits.

    Parameters
    ----------
    function : callable
        Takes one float per input; must rise or fall throughout within the limits, else an extreme inside is missed.
    values, half_widths : sequence of float of length n
        Middle and half-width of each input's limits; at most 16 inputs.

    Returns
    -------
    Extremes
        Results at the worst corners.

    Raises
    ------
    ImpossibleValue
        Too many inputs, different numbers of them, or a result that is not finite.

    Examples
    --------
    >>> extremes(lambda a, b: a + b, [100.0, 80.0], [1.0, 4.0])
    Extremes(low=175.0, high=185.0)
    """
    if len(values) != len(half_widths) or not 1 <= len(values) <= 16:
        raise ImpossibleValue(
            f"{len(values)} values with {len(half_widths)} half-widths",
            remedy="give one for each, 1 to 16 of them",
        )
    limits = [(value - width, value + width) for value, width in zip(values, half_widths, strict=True)]
    results = [evaluated(function, corner) for corner in product(*limits)]
    return Extremes(low=min(results), high=max(results))
