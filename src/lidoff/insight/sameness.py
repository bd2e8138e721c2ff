"""When two variants are the same circuit under other references, so that no reading can tell them apart."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from lidoff.circuit import Circuit, Part, Pin
from lidoff.insight.variant import AS_TRACED, Variant

__all__ = ["Looks", "looks_of", "sameness"]

_NONE: frozenset[object] = frozenset()


@dataclass(frozen=True, slots=True, eq=False)
class Looks:
    """A circuit's parts by reference, each with what it looks like as traced; and those that readings name."""

    parts: Mapping[str, Part]
    plain: Mapping[str, object]
    read: frozenset[str]


def looks_of(circuit: Circuit, read: frozenset[str] = frozenset()) -> Looks:
    """What is asked of a circuit again and again for its variants.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    read : frozenset of str, optional
        References that readings name; these parts are told apart from others like them.

    Returns
    -------
    Looks
    """
    return Looks(
        parts={part.reference: part for part in circuit.parts},
        plain={part.reference: _look(part, AS_TRACED) for part in circuit.parts},
        read=read,
    )


def sameness(looks: Looks, variant: Variant) -> object:
    """Key that two variants share when they make the same circuit of the same readings.

    Parameters
    ----------
    looks : Looks
        The circuit as traced.
    variant : Variant
        What differs.

    Returns
    -------
    object
        Hashable: parts that go and parts that come, by kind, values and nets, whatever they are called. A part whose pins
        are called 1 and 2 looks the same from both ends. Empty for what changes nothing.
    """
    touched = {pin.reference for pin in variant.pins} | {reference for reference, _ in variant.values}
    gone: Counter[object] = Counter()
    come: Counter[object] = Counter()
    for reference in touched:
        name = reference if reference in looks.read else ""
        gone[name, looks.plain[reference]] += 1
        come[name, _look(looks.parts[reference], variant)] += 1
    moved = sorted((str(pin), other) for pin, other in variant.pads.items() if pin.reference in looks.read)
    same_parts = gone == come
    return (
        frozenset((come - gone).items()) if touched else _NONE,
        frozenset((gone - come).items()) if touched else _NONE,
        () if same_parts else tuple(moved),
        tuple(sorted(variant.merged.items())),
        tuple(sorted(variant.factors.items())),
        tuple(sorted(variant.probes.items())),
        tuple(_look(part, AS_TRACED) for part in variant.added),
    )


def _look(part: Part, variant: Variant) -> object:
    nets = {pin: variant.pins.get(Pin(part.reference, pin), net) for pin, net in part.pins.items()}
    own = {name: value for (reference, name), value in variant.values.items() if reference == part.reference}
    values = tuple(sorted({**part.values, **own}.items()))
    spreads = tuple(sorted((name, one.half_width, one.relative) for name, one in part.spreads.items()))
    ends = (
        ("ends", tuple(sorted(nets.values())))
        if set(nets) == {"1", "2"}
        else ("pins", tuple(sorted(nets.items())))
    )
    return (part.kind, values, spreads, ends)
