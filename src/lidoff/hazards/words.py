"""Small turns of phrase that the checks share."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["MOST_NAMES", "about", "listed"]

MOST_NAMES = 6
"""More names than these are told by their number."""


def about(number: float) -> str:
    """Ratio to two significant digits, without a power of ten.

    Examples
    --------
    >>> about(246.0), about(4.21), about(0.0371)
    ('250', '4.2', '0.037')
    """
    return f"{float(f'{number:.2g}'):.0f}" if abs(number) >= 10.0 else f"{number:.2g}"


def listed(names: Sequence[str]) -> str:
    """Names as a person lists them; from seven on, the first three and how many more.

    Examples
    --------
    >>> listed(["R1", "R2", "R3"])
    'R1, R2 and R3'
    """
    shown = list(names)
    if len(shown) > MOST_NAMES:
        shown = [*shown[:3], f"{len(names) - 3} more"]
    if len(shown) < 2:
        return "".join(shown)
    return f"{', '.join(shown[:-1])} and {shown[-1]}"
