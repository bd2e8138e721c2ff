"""Which end of a load is towards the supply, so that a diode there can be told right from wrong."""

from __future__ import annotations

from lidoff.insight.match import Match
from lidoff.insight.view import SUPPLIES, PlacedPart, View

__all__ = ["is_switched", "stands_reversed", "supplied_end"]

FED, FROM_ABOVE, FROM_BELOW, DRAINED = 2, 1, -1, -2
"""How far up a net stands: a supply, the end of a transistor that feeds it, of one that draws from it, a ground; our choice."""
ABOVE = frozenset({("pnp", "collector"), ("mosfet_p", "drain"), ("npn", "emitter"), ("mosfet_n", "source")})
BELOW = frozenset(
    {
        ("npn", "collector"), ("darlington_npn", "collector"), ("mosfet_n", "drain"), ("pnp", "emitter"),
        ("mosfet_p", "source"),
    }
)  # fmt: skip
SWITCHES = frozenset({"npn", "pnp", "darlington_npn", "mosfet_n", "mosfet_p", "switch", "button", "relay"})


def supplied_end(match: Match, first: str, second: str) -> str | None:
    """Net variable towards the supply, of the two at the ends of a load.

    Parameters
    ----------
    match : Match
        Laid on a circuit.
    first, second : str
        Net variables of the load's ends.

    Returns
    -------
    str or None
        By the rails and transistors that the ends meet; where these leave it open, the end that is solved to be the higher one
        in all situations. None where neither tells.
    """
    heights = [_height(match.view, match.nets[name], match.others(name)) for name in (first, second)]
    if heights[0] != heights[1]:
        return first if heights[0] > heights[1] else second
    solved = match.every_volts(first, second)
    if not solved or min(solved) * max(solved) <= 0.0:
        return None
    return first if solved[0] > 0.0 else second


def stands_reversed(match: Match, anode: str, cathode: str) -> bool:
    """Whether the rails and transistors at both ends of a run of diodes leave no way for a current through it.

    Parameters
    ----------
    match : Match
        Laid on a circuit.
    anode, cathode : str
        Net variables of the run's ends.

    Returns
    -------
    bool
        False as well where an end alternates, or where nothing tells how far up it stands.
    """
    if {match.nets[anode], match.nets[cathode]} & match.view.alternating:
        return False
    top, bottom = (_height(match.view, match.nets[name], match.others(name)) for name in (anode, cathode))
    return bool(top and bottom) and top < bottom


def _height(view: View, net: str, others: tuple[tuple[PlacedPart, str], ...]) -> int:
    """How far up a net stands; 0 where nothing tells, or where it is the ground between two supplies."""
    plus = {one.nets["plus"] for kind in SUPPLIES for one in view.by_kind.get(kind, ())}
    if net in view.grounds:
        return 0 if net in plus else DRAINED
    if net in view.supplies:
        return FED
    ends = {(one.kind, pin) for one, pin in others}
    return FROM_ABOVE * bool(ends & ABOVE) + FROM_BELOW * bool(ends & BELOW)


def is_switched(match: Match, *ends: str) -> bool:
    """Whether a transistor's end or a contact lies at one of the net variables."""
    return any(
        one.kind in SWITCHES and pin not in ("base", "gate", "coil_1", "coil_2")
        for name in ends
        for one, pin in match.others(name)
    )
