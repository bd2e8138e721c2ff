"""Below what a number is not told one by one."""

from __future__ import annotations

__all__ = ["FAINT", "LITTLE_POWER", "NEXT_TO_NOTHING"]

FAINT = 1e-8
"""Current over a period for each volt [S] below which it is mostly the solver's own residue."""
NEXT_TO_NOTHING = 1e-9
"""Currents below this are not told one by one: leakage that the solver assumes is of that size [A]."""
LITTLE_POWER = 1e-6
"""Powers below this likewise: a button cell would give it for half a lifetime, and it warms nothing [W]."""
