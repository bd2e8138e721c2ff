"""What one fault does, as a value, and what a drawing may show of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

__all__ = ["FaultEffect", "Overload", "Tint", "fault_tints"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Overload:
    """One part over one of its ratings.

    Attributes
    ----------
    reference, rating : str
        The part and the parameter that holds its limit.
    load, limit : float
        In `unit`.
    unit : str
    told : bool
        Whether the dossier tells the limit.
    """

    reference: str
    rating: str
    load: float
    limit: float
    unit: str
    told: bool

    @property
    def share(self) -> float:
        """Load over limit."""
        return self.load / self.limit if self.limit else float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultEffect:
    """What one fault does, in the situation where it does most.

    Attributes
    ----------
    title : str
        The fault in words.
    reference : str
        The part that fails.
    situation : str
    settled : bool
        Whether an operating point was found in every situation looked at.
    overloads : tuple of Overload
        Parts over a rating that the fault drives there, worst first.
    fuses : tuple of str
        What each fuse in the way does, in words.
    cell : str
        What the cell sees beyond its limits; empty where it keeps them.
    live : tuple of str
        Nets told as accessible that come above 60 V, or above 42 V at the crest.
    joins : tuple of str
        Nets that a bridge joins; empty for other faults.
    crest : bool
        Whether an alternating supply was taken at its crest, and power as half of what that gives.
    period : bool
        Whether it was followed over a period of the alternating supplies.
    ample : tuple of (str, float)
        Supplies that would have had to give more than a common one does, and the current into a short that they were held to
        [A].
    """

    title: str
    reference: str
    situation: str
    settled: bool = True
    overloads: tuple[Overload, ...] = ()
    fuses: tuple[str, ...] = ()
    cell: str = ""
    live: tuple[str, ...] = ()
    joins: tuple[str, ...] = ()
    crest: bool = False
    period: bool = False
    ample: tuple[tuple[str, float], ...] = ()

    @property
    def weight(self) -> float:
        """Number to rank by: the worst overload, with a live net and an overloaded cell before it."""
        worst = max((one.share for one in self.overloads), default=0.0)
        return 1e9 * bool(self.live) + 1e6 * bool(self.cell) + min(worst, 1e5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tint:
    """What a drawing may show of a part's faults.

    Attributes
    ----------
    reference : str
    level : {"live", "cell", "hot", "quiet"}
        Worst consequence of the part's own faults.
    caption : str
        A few words.
    """

    reference: str
    level: str
    caption: str


def fault_tints(effects: Sequence[FaultEffect]) -> Mapping[str, Tint]:
    """Worst consequence of each part's own faults, for a layer of the drawing.

    Parameters
    ----------
    effects : sequence of FaultEffect
        Worst first.

    Returns
    -------
    mapping of str to Tint
        By reference.
    """
    found: dict[str, Tint] = {}
    for effect in effects:
        if effect.reference in found:
            continue
        if effect.live:
            level, caption = "live", f"{effect.title}: {', '.join(effect.live)} live"
        elif effect.cell:
            level, caption = "cell", f"{effect.title}: {effect.cell}"
        elif effect.overloads:
            worst = effect.overloads[0]
            level, caption = "hot", f"{effect.title}: {worst.reference} at {worst.share:.1f} times its rating"
        else:
            level, caption = "quiet", "no part over a rating"
        found[effect.reference] = Tint(reference=effect.reference, level=level, caption=caption)
    return found
