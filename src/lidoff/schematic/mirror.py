"""What can be drawn as a mirror image: parts and nets that change places without changing the circuit.

A pair of equal parts is taken as seed and followed from net to net on both sides at once, as far as the two sides stay
alike; values may differ, for a reader sees the shape first. Sides that only share rails are parallel branches, which stand
side by side and are no mirror image.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.schematic.levels import Levels
from lidoff.schematic.unit import Unit, Variant

__all__ = ["MirrorMate", "mirror_images", "mirror_mates"]

FEWEST_LEGS = 3
"""A mirror image has a pair of parts of so many pins at least, or a part that bridges its halves."""

EVEN = frozenset({"motor", "lamp", "buzzer", "speaker"})
"""Outlines that look the same either way round though their pins have signs: they may lie on the axis."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MirrorMate:
    """Whose mirror image a unit is.

    Attributes
    ----------
    mate : int
        Number of the other unit; the unit itself when it stands on the axis.
    group : int
        Units of one group share an axis.
    shift : mapping of (int, int) to int
        For each pair of variants that are mirror images: what the sum of both places exceeds twice the axis by.
    """

    mate: int
    group: int
    shift: Mapping[tuple[int, int], int]


@dataclass(slots=True)
class _Image:
    """A mirror image while it grows."""

    parts: dict[str, str]
    nets: dict[str, str]

    def copy(self) -> _Image:
        return _Image(dict(self.parts), dict(self.nets))


def mirror_images(circuit: Circuit, levels: Levels) -> list[dict[str, str]]:
    """Mirror images within a circuit, the largest first; no part is in two.

    Parameters
    ----------
    circuit : Circuit
        Whose parts are all of known kinds.
    levels : Levels
        From `find_levels`.

    Returns
    -------
    list of dict of str to str
        For each image: every part in it with the part it changes places with, itself if it lies on the axis.
    """
    by_kind: dict[str, list[Part]] = {}
    for part in circuit.parts:
        if not kind_of(part).supplies and len(part.pins) > 1:
            by_kind.setdefault(part.kind, []).append(part)
    found: list[dict[str, str]] = []
    seen: set[frozenset[tuple[str, str]]] = set()
    for alike in by_kind.values():
        for place, one in enumerate(alike):
            for other in alike[place + 1 :]:
                if not _share_a_net_away(circuit, levels, one, other):
                    continue
                image = _grown(circuit, levels, one, other)
                pairs = frozenset(image.parts.items()) if image else frozenset()
                if image and pairs not in seen and _is_one_thing(circuit, levels, image):
                    seen.add(pairs)
                    found.append(image.parts)
    found.sort(key=lambda parts: (-len(parts), sorted(parts)))
    kept: list[dict[str, str]] = []
    for parts in found:
        if not any(set(parts) & set(other) for other in kept):
            kept.append(parts)
    return kept


def _share_a_net_away(circuit: Circuit, levels: Levels, one: Part, other: Part) -> bool:
    """Whether two parts are at most one part away from each other, rails not counted."""

    def near(part: Part) -> set[str]:
        nets = {net for net in part.pins.values() if levels.role[net] == "signal"}
        beyond = {
            net
            for mine in nets
            for pin in circuit.nets[mine]
            for net in circuit.part(pin.reference).pins.values()
            if levels.role[net] == "signal" and len(circuit.part(pin.reference).pins) <= FEWEST_LEGS
        }
        return nets | beyond

    return bool(near(one) & near(other))


def _grown(circuit: Circuit, levels: Levels, one: Part, other: Part) -> _Image | None:
    """Mirror image round a pair of parts, as far as it goes."""
    image = _with_pair(_Image({}, {}), levels, one, other)
    if image is None:
        return None
    done: set[str] = set()
    while True:
        edge = next((net for net in image.nets if image.nets[net] != net and net not in done), None)
        if edge is None:
            return image
        done |= {edge, image.nets[edge]}
        for mine in _loose(circuit, image, edge):
            for its in _loose(circuit, image, image.nets[edge]):
                if mine.kind == its.kind and mine.reference not in image.parts:
                    image = _with_pair(image, levels, mine, its) or image


def _loose(circuit: Circuit, image: _Image, net: str) -> list[Part]:
    references = dict.fromkeys(pin.reference for pin in circuit.nets[net])
    parts = (circuit.part(reference) for reference in references if reference not in image.parts)
    return [part for part in parts if not kind_of(part).supplies and kind_of(part).outline.pins]


def _with_pair(image: _Image, levels: Levels, one: Part, other: Part) -> _Image | None:
    """Image with one more pair of parts, or None where it would contradict itself."""
    if other.reference in image.parts or one.pins.keys() != other.pins.keys():
        return None
    for pins in _ways_round(one, same=one.reference == other.reference):
        grown = image.copy()
        grown.parts[one.reference] = other.reference
        grown.parts[other.reference] = one.reference
        if all(_agree(grown, levels, one.pins[a], other.pins[b]) for a, b in pins):
            return grown
    return None


def _ways_round(part: Part, *, same: bool) -> Iterator[list[tuple[str, str]]]:
    """Pairs of pins under which a part may lie on an equal one; a part lies on itself only the other way round."""
    pins = list(part.pins)
    if not same:
        yield [(pin, pin) for pin in pins]
    outline = kind_of(part).outline
    if len(pins) == 2 and (outline.reversible or (same and outline.name in EVEN)):
        yield [(pins[0], pins[1]), (pins[1], pins[0])]


def _agree(image: _Image, levels: Levels, net: str, other: str) -> bool:
    if (levels.role[net] != "signal" or levels.role[other] != "signal") and net != other:
        return False
    return image.nets.setdefault(net, other) == other and image.nets.setdefault(other, net) == net


def _is_one_thing(circuit: Circuit, levels: Levels, image: _Image) -> bool:
    """Whether the halves hang together over signal nets, and hold more than two-legged branches side by side."""
    legs = max(len(circuit.part(reference).pins) for reference in image.parts)
    bridged = any(reference == mate for reference, mate in image.parts.items())
    if len(image.parts) < 4 or not (bridged or legs >= FEWEST_LEGS):
        return False
    reached = {next(iter(image.parts))}
    pending = list(reached)
    while pending:
        part = circuit.part(pending.pop())
        for net in part.pins.values():
            if levels.role[net] != "signal":
                continue
            fresh = {pin.reference for pin in circuit.nets[net]} & (image.parts.keys() - reached)
            reached |= fresh
            pending.extend(fresh)
    return reached == image.parts.keys()


def mirror_mates(circuit: Circuit, levels: Levels, units: Sequence[Unit]) -> dict[int, MirrorMate]:
    """Mirror images by unit.

    Parameters
    ----------
    circuit, levels : Circuit, Levels
        What is drawn.
    units : sequence of Unit
        In which the parts move.

    Returns
    -------
    dict of int to MirrorMate
        By number of the unit; units that are nobody's mirror image are left out.
    """
    home = {reference: number for number, unit in enumerate(units) for reference in unit.references}
    mates: dict[int, MirrorMate] = {}
    for group, image in enumerate(mirror_images(circuit, levels)):
        nets = _nets_of(circuit, image)
        for number, unit in enumerate(units):
            others = [image.get(reference) for reference in unit.references]
            if None in others or unit.pinned is not None:
                continue
            mate = home.get(others[0] or "", -1)
            if mate < 0 or list(units[mate].references) != others:
                continue
            shift = {
                (i, j): found
                for i, mine in enumerate(unit.variants)
                for j, its in enumerate(units[mate].variants)
                if (found := _shift(mine, its, nets)) is not None
            }
            if shift:
                mates[number] = MirrorMate(mate=mate, group=group, shift=shift)
    return {number: one for number, one in mates.items() if one.mate in mates}


def _nets_of(circuit: Circuit, image: Mapping[str, str]) -> dict[str, str]:
    nets: dict[str, str] = {}
    for reference, mate in image.items():
        one, other = circuit.part(reference), circuit.part(mate)
        if reference != mate and not kind_of(one).outline.reversible:
            nets.update((one.pins[pin], other.pins[pin]) for pin in one.pins)
    for reference, mate in image.items():
        one, other = circuit.part(reference), circuit.part(mate)
        a, b = list(one.pins.values()), list(other.pins.values())
        if kind_of(one).outline.reversible and len(a) == len(b) == 2:
            turned = reference == mate or any(nets.get(x, x) != y for x, y in zip(a, b, strict=True))
            for x, y in zip(a, reversed(b) if turned else b, strict=True):
                nets.setdefault(x, y)
    return nets


def _shift(mine: Variant, its: Variant, nets: Mapping[str, str]) -> int | None:
    """What must be added to mirrored places of one variant to lie on the other, or None if it never does."""
    mirrored = sorted((-x, y, nets.get(net, net)) for x, y, net in _ends(mine))
    there = sorted(_ends(its))
    if len(mirrored) != len(there) or not there:
        return None
    shift = there[0][0] - mirrored[0][0]
    return shift if [(x + shift, y, net) for x, y, net in mirrored] == there else None


def _ends(variant: Variant) -> list[tuple[int, int, str]]:
    wires = [(lead.x, lead.y, lead.net) for lead in variant.wires]
    return wires + [(flag.x, flag.y, flag.net) for flag in variant.flags]
