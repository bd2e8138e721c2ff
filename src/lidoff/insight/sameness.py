"""When two variants are the same circuit under other references, so that no reading can tell them apart."""

from __future__ import annotations

from collections import Counter

from lidoff.circuit import Circuit, Part, Pin
from lidoff.insight.variant import AS_TRACED, Variant

__all__ = ["sameness"]


def sameness(circuit: Circuit, variant: Variant, read: frozenset[str] = frozenset()) -> object:
    """Key that two variants share when they make the same circuit of the same readings.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    variant : Variant
        What differs.
    read : frozenset of str, optional
        References that readings name; these parts are told apart from others like them.

    Returns
    -------
    object
        Hashable: parts that go and parts that come, by kind, values and nets, whatever they are called. A part whose pins
        are called 1 and 2 looks the same from both ends. Empty for what changes nothing.
    """
    touched = {pin.reference for pin in variant.pins} | {reference for reference, _ in variant.values}
    gone: Counter[object] = Counter()
    come: Counter[object] = Counter()
    for part in circuit.parts if touched else ():
        if part.reference not in touched:
            continue
        name = part.reference if part.reference in read else ""
        gone[name, _look(part, AS_TRACED)] += 1
        come[name, _look(part, variant)] += 1
    moved = sorted((str(pin), other) for pin, other in variant.pads.items() if pin.reference in read)
    same_parts = gone == come
    return (
        frozenset((come - gone).items()),
        frozenset((gone - come).items()),
        () if same_parts else tuple(moved),
        tuple(sorted(variant.merged.items())),
        tuple(sorted(variant.factors.items())),
        tuple(sorted(variant.probes.items())),
        tuple(_look(part, AS_TRACED) for part in variant.added),
    )


def _look(part: Part, variant: Variant) -> object:
    nets = {pin: variant.pins.get(Pin(part.reference, pin), net) for pin, net in part.pins.items()}
    own = {name: value for (reference, name), value in variant.values.items() if reference == part.reference}
    values = tuple(sorted((name, str(value)) for name, value in {**part.values, **own}.items()))
    spreads = tuple(
        sorted((name, spread.half_width, spread.relative) for name, spread in part.spreads.items())
    )
    ends = (
        ("ends", tuple(sorted(nets.values())))
        if set(nets) == {"1", "2"}
        else ("pins", tuple(sorted(nets.items())))
    )
    return (part.kind, values, spreads, ends)
