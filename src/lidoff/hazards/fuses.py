"""What a fuse does at a current: carry it, carry it for a while, open or trip."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.hazards.limits import limit_table

__all__ = ["fuse_at"]

AT_ONCE = 1e-4
"""Time [s] below which a fuse opens at once: wires and the mains limit such a current; common practice, no source."""


def fuse_at(numbers: Mapping[str, float], current: float) -> str:
    """What a fuse does at a steady current, in words that follow its name.

    Parameters
    ----------
    numbers : mapping of str to float
        Its parameters.
    current : float
        Effective, without sign [A].

    Returns
    -------
    str
        Empty where it simply carries it. IEC 60127-2, from 2.1 times the rating within minutes; I²t as told, else the one usual
        for its rating where the current is high enough for that.

    Examples
    --------
    >>> fuse_at({"current_rating": 1.0, "melting_integral": 0.5}, 10.0)
    'opens after about 0.005 s (I²t)'
    """
    if "trip_current" in numbers:
        return "trips" if current > numbers["trip_current"] else ""
    table, share = limit_table("fuses").entries, current / numbers["current_rating"]
    if share >= table["opens_from"]:
        return f"opens{_how_soon(numbers, current, share)}"
    return f"may carry {share:.1f} times its rating for an hour and more" if share > 1.0 else ""


def _how_soon(numbers: Mapping[str, float], current: float, share: float) -> str:
    table = limit_table("fuses").entries
    if "melting_integral" in numbers:
        time = numbers["melting_integral"] / current**2
        after = "at once (I²t)" if time < AT_ONCE else f"after about {time:.2g} s (I²t)"
        # Below, the wire loses heat while it warms, which I²t leaves out.
        return (
            f" {after}"
            if share >= table["adiabatic_from"]
            else f" no sooner than {after}, and within minutes"
        )
    if share >= table["adiabatic_from"]:
        usual = table["melting"] * numbers["current_rating"] ** 2 / current**2
        if usual < AT_ONCE:
            return " at once (I²t usual for its rating)"
        return f" after about {usual:.1g} s (I²t usual for its rating)"
    return f", at {share:.1f} times its rating"
