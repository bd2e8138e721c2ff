"""Runs of two-pin parts, one after the other through nets that nothing else touches."""

from __future__ import annotations

from lidoff.insight.view import PlacedPart, View

__all__ = ["chain_of"]


def chain_of(view: View, kinds: frozenset[str]) -> tuple[tuple[tuple[PlacedPart, str, str], ...], ...]:
    """Longest runs of two-pin parts of some kinds, one after the other through nets that nothing else touches.

    Parameters
    ----------
    view : View
    kinds : frozenset of str
        Kinds that a run may hold.

    Returns
    -------
    tuple of tuple of (PlacedPart, str, str)
        Each part with the pin where the run enters it and the pin where it leaves; each run once, in one of its two directions.
    """
    if kinds in view.chains:
        return view.chains[kinds]
    members = {one.reference for one in view.parts if one.kind in kinds and len(one.nets) == 2}
    used: set[str] = set()
    found = []
    for one in view.parts:
        if one.reference not in members or one.reference in used:
            continue
        first, second = one.nets
        run = [(one, first, second)]
        used.add(one.reference)
        _grow(view, run, members, used)
        run = [(part, leaves, enters) for part, enters, leaves in reversed(run)]
        _grow(view, run, members, used)
        found.append(tuple(run))
    view.chains[kinds] = tuple(found)
    return view.chains[kinds]


def _grow(view: View, run: list[tuple[PlacedPart, str, str]], members: set[str], used: set[str]) -> None:
    """Lengthen a run at its end while the net there is private to it."""
    while True:
        last, _, leaves = run[-1]
        net = last.nets[leaves]
        if net in view.rails or view.degree(net) != 2:
            return
        nexts = [(one, pin) for one, pin in view.pins[net] if one.reference != last.reference]
        if not nexts or nexts[0][0].reference not in members or nexts[0][0].reference in used:
            return
        one, pin = nexts[0]
        other = next(name for name in one.nets if name != pin)
        run.append((one, pin, other))
        used.add(one.reference)
