"""Parts that sit otherwise on their pads than drawn: polarity reversed, two pins swapped, the package mirrored or turned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import combinations, pairwise

from lidoff.circuit import Circuit, Part, Pin, kind_of
from lidoff.insight.slip import Slip, SlipKind
from lidoff.insight.variant import Variant
from lidoff.insight.watched import Watched

FEW_PINS = 6
"""Pins up to which any two are taken to be easily swapped; beyond it only neighbours."""


def _seated(part: Part, truly: Mapping[str, str]) -> Variant:
    """Part whose pads hold other pins than drawn: pad's pin as drawn → pin truly there."""
    pins = {Pin(part.reference, pin): part.pins[pad] for pad, pin in truly.items() if pin != pad}
    pads = {Pin(part.reference, pad): pin for pad, pin in truly.items() if pin != pad}
    return Variant(pins=pins, pads=pads)


def _polarised(circuit: Circuit) -> list[Part]:
    return [
        part
        for part in circuit.parts
        if len(part.pins) == 2 and not kind_of(part).supplies and set(part.pins) != {"1", "2"}
    ]


def _many_legged(circuit: Circuit) -> list[Part]:
    return [part for part in circuit.parts if len(part.pins) > 2 and kind_of(part).elements(part)]


def reversed_polarity(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every two-pin part with unlike pins, the other way round."""
    found: list[Slip] = []
    for part in _polarised(circuit):
        one, other = part.pins
        found.append(
            Slip(
                kind="polarity",
                title=f"{part.reference} sits the other way round",
                odds=chance,
                variant=_seated(part, {one: other, other: one}),
                parts=(part.reference,),
            )
        )
    return found


def swapped_pins(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every two pins of a part with three or more, swapped."""
    found: list[Slip] = []
    for part in _many_legged(circuit):
        names = list(part.pins)
        pairs = list(combinations(names, 2) if len(names) <= FEW_PINS else pairwise(names))
        pairs = [pair for pair in pairs if part.pins[pair[0]] != part.pins[pair[1]]]
        found.extend(
            Slip(
                kind="swapped",
                title=f"{part.reference}: pins {one} and {other} are swapped",
                odds=chance / len(pairs),
                variant=_seated(part, {one: other, other: one}),
                parts=(part.reference,),
            )
            for one, other in pairs
        )
    return found


def mirrored(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every package with three or more pins drawn as seen from the other side, or turned by half a turn."""
    found: list[Slip] = []
    for part in _many_legged(circuit):
        names = sorted(part.pins, key=int) if all(pin.isdigit() for pin in part.pins) else list(part.pins)
        half = len(names) // 2
        ways = {"mirrored": dict(zip(names, reversed(names), strict=True))}
        if len(names) % 2 == 0:
            ways["turned by half a turn"] = dict(zip(names, (*names[half:], *names[:half]), strict=True))
        found.extend(
            Slip(
                kind="mirrored",
                title=f"{part.reference} is {how}",
                odds=chance / len(ways),
                variant=_seated(part, truly),
                parts=(part.reference,),
            )
            for how, truly in ways.items()
        )
    return found


MEMBERS = (
    SlipKind(
        name="polarity",
        title="polarity reversed",
        chance=0.01,
        of_each="part with two unlike pins",
        look="look for the band, notch or dot on {parts}, and for its mark on the board",
        propose=reversed_polarity,
    ),
    SlipKind(
        name="swapped",
        title="two pins swapped",
        chance=0.01,
        of_each="part with three or more pins",
        look="look up the pins of {parts} for just this package; makers order them differently",
        propose=swapped_pins,
    ),
    SlipKind(
        name="mirrored",
        title="package mirrored or turned",
        chance=0.005,
        of_each="part with three or more pins",
        look="find pin 1 of {parts}, and from which side it was drawn",
        propose=mirrored,
    ),
)
