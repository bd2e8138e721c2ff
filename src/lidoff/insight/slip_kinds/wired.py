"""Copper traced wrongly: two nets that are one, one net that is two, a pin that ends on another net, a part that was missed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from lidoff.circuit import Circuit, Part, Pin, kind_of
from lidoff.insight.slip import Slip, SlipKind
from lidoff.insight.torn import ADDED
from lidoff.insight.variant import LOOSE, Variant
from lidoff.insight.watched import DeadTest, Watched

SMALL_NET = 5
"""Pins up to which every way of parting a net is looked at; beyond it one or two pins part from the rest."""
LARGE_NET = 12
"""Pins beyond which only single pins part from the rest."""
MISSED_OHMS = (3.0, 10.0, 33.0, 100.0, 330.0, 1e3, 3.3e3, 10e3, 33e3, 100e3, 330e3, 1e6)
"""Values at which a missed resistor is tried, two a decade."""


def one_net(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every two nets, as one."""
    nets = list(circuit.nets)
    odds = chance * len(nets) / max(len(nets) * (len(nets) - 1) / 2, 1)
    found = []
    for one, other in combinations(nets, 2):
        kept, gone = (other, one) if other == circuit.ground else (one, other)
        found.append(
            Slip(
                kind="one_net",
                title=f"{one} and {other} are one net",
                odds=odds,
                variant=Variant(merged={gone: kept}),
                nets=(one, other),
            )
        )
    return found


def two_nets(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:
    """Every net with three or more pins, as two."""
    found: list[Slip] = []
    for net, pins in circuit.nets.items():
        if len(pins) < 2:
            continue
        parted = _partings(pins)
        probes = [one.name for one in watched if _touches(one, net)]
        for away in parted:
            others = [pin for pin in pins if pin not in away]
            told = ", ".join(map(str, away))
            variant = Variant(pins=dict.fromkeys(away, LOOSE[0]))
            # Where the probe was is not known: on what keeps the name or on what parted from it.
            variants = [variant]
            if probes and len(away) > 1 and len(others) > 1:
                variants.append(
                    Variant(pins=dict.fromkeys(away, LOOSE[0]), probes=dict.fromkeys(probes, LOOSE[0]))
                )
            found.extend(
                Slip(
                    kind="two_nets",
                    title=f"{net} is two nets: {told} {'are' if len(away) > 1 else 'is'} not on it",
                    odds=chance / len(parted) / len(variants),
                    variant=one,
                    nets=(net,),
                    parts=tuple(sorted({pin.reference for pin in away})),
                )
                for one in variants
            )
    return found


def _partings(pins: Sequence[Pin]) -> list[tuple[Pin, ...]]:
    """Ways in which some pins may part from the others, the smaller group named."""
    if len(pins) == 2:
        return [(pins[0],)]
    largest = 1 if len(pins) > LARGE_NET else 2 if len(pins) > SMALL_NET else len(pins) // 2
    found = [group for size in range(1, largest + 1) for group in combinations(pins, size)]
    if len(pins) % 2 == 0 and largest == len(pins) // 2:
        found = [group for group in found if len(group) < largest or pins[0] in group]
    return found


def _touches(one: Watched, net: str) -> bool:
    target = one.target
    return target.red == net if isinstance(target, DeadTest) else getattr(target, "net", "") == net


def other_net(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every pin of a part that carries current, on every other net."""
    nets = list(circuit.nets)
    return [
        Slip(
            kind="other_net",
            title=f"{part.reference}.{pin} is on {net}, not on {own}",
            odds=chance / max(len(nets) - 1, 1),
            variant=Variant(pins={Pin(part.reference, pin): net}),
            parts=(part.reference,),
            nets=(own, net),
        )
        for part in circuit.parts
        if any(element.law.rows for element in kind_of(part).elements(part))
        for pin, own in part.pins.items()
        for net in nets
        if net != own
    ]


def missed(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """A resistor of any value between any two nets, and a diode either way."""
    nets = list(circuit.nets)
    chance *= len(circuit.parts)
    pairs = list(combinations(nets, 2))
    resistors = 0.7 * chance / max(len(pairs) * len(MISSED_OHMS), 1)
    diodes = 0.3 * chance / max(2 * len(pairs), 1)
    found = []
    for one, other in pairs:
        for ohms in MISSED_OHMS:
            part = Part(
                reference=ADDED["resistor"].reference,
                kind="resistor",
                pins={"1": one, "2": other},
                values={"resistance": ohms},
            )
            found.append(
                _missed(f"a resistor between {one} and {other} was missed", resistors, part, (one, other))
            )
        for anode, cathode in ((one, other), (other, one)):
            part = Part(
                reference=ADDED["diode"].reference, kind="diode", pins={"anode": anode, "cathode": cathode}
            )
            found.append(
                _missed(f"a diode from {anode} to {cathode} was missed", diodes, part, (anode, cathode))
            )
    return found


def _missed(title: str, odds: float, part: Part, nets: tuple[str, str]) -> Slip:
    return Slip(kind="missed", title=title, odds=odds, variant=Variant(added=(part,)), nets=nets)


MEMBERS = (
    SlipKind(
        name="one_net",
        title="two nets that are one",
        chance=0.01,
        of_each="net",
        look="look between {nets} for a bridge of solder, a track under a part, or a wire",
        propose=one_net,
        many=True,
    ),
    SlipKind(
        name="two_nets",
        title="one net that is two",
        chance=0.005,
        of_each="net",
        look="look along the copper of {nets} for a gap, a crack or a cut, above all near {parts}",
        propose=two_nets,
        many=True,
    ),
    SlipKind(
        name="other_net",
        title="a pin on another net",
        chance=0.003,
        of_each="pin of a part that carries current",
        look="follow the copper from {parts} again, and beep it against {nets}",
        propose=other_net,
        many=True,
    ),
    SlipKind(
        name="missed",
        title="a part missed",
        chance=0.01,
        of_each="part traced",
        look="look between {nets} for a part under glue, on the other side, or inside a cable",
        propose=missed,
        many=True,
    ),
)
