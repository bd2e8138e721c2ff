"""What a circuit looks like from each of its parts, as numbers that equal surroundings share.

Colour refinement after Weisfeiler and Lehman: each part and each net starts with what it is, and in each round takes on what
lies around it. What a part is, and what it has become after one, two and three rounds are its labels; two circuits are alike as
far as they share labels, rare ones counting more [1]_. The ground and other nets of many pins take nothing on: one pin moved
there would change all that hangs on them, and so nearly the whole circuit.

References
----------
.. [1] N. Shervashidze et al., "Weisfeiler-Lehman graph kernels", Journal of Machine Learning Research 12, 2539-2561, 2011.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from hashlib import blake2b

from lidoff.circuit import Circuit

__all__ = ["ROUNDS", "circuit_labels", "part_labels"]

ROUNDS = 3
"""How far around itself a part looks, in parts."""
HUB = 6
"""Pins from which a net takes nothing on; our choice."""
EITHER_WAY = frozenset({"1", "2"})
"""Pins that may be changed for each other where a part has no others."""


def circuit_labels(circuit: Circuit) -> Mapping[int, int]:
    """How often each label occurs in a circuit.

    Parameters
    ----------
    circuit : Circuit
        References, names of nets and the order of parts change nothing.

    Returns
    -------
    mapping of int to int
        By label, a whole number of 63 bits.
    """
    return Counter(label for labels in part_labels(circuit).values() for label in labels)


def part_labels(circuit: Circuit) -> Mapping[str, tuple[int, ...]]:
    """Labels of each part: before any round, after one, two and so on.

    Parameters
    ----------
    circuit : Circuit
        Whose parts are of known kinds.

    Returns
    -------
    mapping of str to tuple of int
        By reference, `ROUNDS` and one labels each.
    """
    pins = {
        part.reference: [(_pin(part.kind, part.pins, pin), net) for pin, net in part.pins.items()]
        for part in circuit.parts
    }
    ends: dict[str, list[tuple[str, str]]] = {net: [] for net in circuit.nets}
    for reference, own in pins.items():
        for pin, net in own:
            ends[net].append((reference, pin))
    parts = {part.reference: _label("part", part.kind) for part in circuit.parts}
    nets = {net: _label("net", _role(circuit, net, len(own))) for net, own in ends.items()}
    found: dict[str, list[int]] = {reference: [label] for reference, label in parts.items()}
    for _ in range(ROUNDS):
        seen = {
            net: nets[net]
            if net == circuit.ground or len(own) >= HUB
            else _label("net", str(nets[net]), *sorted(f"{pin} {parts[reference]}" for reference, pin in own))
            for net, own in ends.items()
        }
        parts = {
            reference: _label(
                "part", str(parts[reference]), *sorted(f"{pin} {seen[net]}" for pin, net in pins[reference])
            )
            for reference in parts
        }
        nets = seen
        for reference, label in parts.items():
            found[reference].append(label)
    return {reference: tuple(labels) for reference, labels in found.items()}


def _role(circuit: Circuit, net: str, pins: int) -> str:
    """Ground stays ground: all of a circuit hangs on it, and it tells little of what is where."""
    return "ground" if net == circuit.ground else "hub" if pins >= HUB else "net"


def _pin(kind: str, pins: Mapping[str, str], pin: str) -> str:
    """Name of a pin, empty where it could be changed for the other."""
    return "" if pin in EITHER_WAY and set(pins) <= EITHER_WAY else f"{kind}.{pin}"


def _label(*words: str) -> int:
    return int.from_bytes(blake2b("\x1f".join(words).encode(), digest_size=8).digest(), "big") >> 1
