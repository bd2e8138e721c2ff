"""What repeats is drawn once: equal groups round shared nets, found by graph equality, and runs of equal parts in series.

Parts and nets are coloured by what they are and what they hang on, until the colours settle (colour refinement:
Weisfeiler and Leman 1968). What has a colour of its own is shared; the rest falls into groups, and groups that can be
laid on one another, part on part
and net on net, are repeats. The pairing that proves it is kept, and is what the table under the drawing shows.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.schematic.drawing import Repeat
from lidoff.schematic.levels import Levels
from lidoff.schematic.options import DrawingOptions
from lidoff.schematic.shapes import pin_label, pin_role
from lidoff.schematic.text import value_text

__all__ = ["gather_repeats", "gather_runs"]

Pairing = Mapping[str, str]


def gather_repeats(
    circuit: Circuit, levels: Levels, options: DrawingOptions
) -> tuple[Circuit, tuple[Repeat, ...]]:
    """Circuit with each repeated group drawn once, and what was left out.

    Parameters
    ----------
    circuit : Circuit
        To be drawn.
    levels : Levels
        From `find_levels`.
    options : DrawingOptions
        From how many equal groups on, and which parts are kept apart.

    Returns
    -------
    shown : Circuit
        Parts that are drawn; boxes without the pins that only left-out groups used.
    repeats : tuple of Repeat
        One for each kind of group, the drawn one first in its instances.
    """
    colour_of_part, colour_of_net = _colours(circuit, levels, options)
    count: dict[int, int] = {}
    for colour in (*colour_of_part.values(), *colour_of_net.values()):
        count[colour] = count.get(colour, 0) + 1
    loose = {r for r, colour in colour_of_part.items() if count[colour] >= options.least_repeats}
    inner = {net for net, colour in colour_of_net.items() if count[colour] >= options.least_repeats}
    groups = _groups(circuit, loose, inner)
    families: dict[tuple[int, ...], list[list[str]]] = {}
    for group in groups:
        families.setdefault(tuple(sorted(colour_of_part[r] for r in group)), []).append(group)
    repeats: list[Repeat] = []
    dropped: set[str] = set()
    for key in sorted(families, key=lambda key: families[key][0]):
        family = families[key]
        equal: list[tuple[Sequence[str], Pairing, Pairing]] = [(family[0], {r: r for r in family[0]}, {})]
        for other in family[1:]:
            found = pairing(circuit, family[0], other, colour_of_part, inner)
            if found is not None:
                equal.append((other, *found))
        if len(equal) < options.least_repeats:
            continue
        repeats.append(_repeat(circuit, family[0], equal, inner, loose))
        dropped.update(r for group, _, _ in equal[1:] for r in group)
    return _without(circuit, dropped), tuple(repeats)


def _colours(
    circuit: Circuit, levels: Levels, options: DrawingOptions
) -> tuple[dict[str, int], dict[str, int]]:
    """Settled colours of parts and nets."""
    known: dict[object, int] = {}

    def number(key: object) -> int:
        return known.setdefault(key, len(known))

    parts: dict[str, int] = {}
    for part in circuit.parts:
        alone = (
            part.reference in options.keep_apart or kind_of(part).supplies or part.reference in options.pinned
        )
        value = "" if options.similar_values else value_text(part)
        parts[part.reference] = number(("part", part.reference if alone else "", part.kind, value))
    nets = {
        net: number(("net", net if levels.role[net] != "signal" else "")) for net in circuit.nets
    }  # fmt: skip
    ties = [
        (part.reference, _tie(part, pin), net) for part in circuit.parts for pin, net in part.pins.items()
    ]
    sizes = -1
    while sizes != len(set(parts.values()) | set(nets.values())):
        sizes = len(set(parts.values()) | set(nets.values()))
        round_parts: dict[str, list[tuple[str, int]]] = {r: [] for r in parts}
        round_nets: dict[str, list[tuple[str, int]]] = {n: [] for n in nets}
        for reference, tie, net in ties:
            round_parts[reference].append((tie, nets[net]))
            round_nets[net].append((tie, parts[reference]))
        parts = {r: number((parts[r], tuple(sorted(round_parts[r])))) for r in parts}
        nets = {n: number((nets[n], tuple(sorted(round_nets[n])))) for n in nets}
    return parts, nets  # fmt: skip


def _tie(part: Part, pin: str) -> str:
    """What a pin is to its part: pins that may change places are alike, and so are a box's pins of one role."""
    outline = kind_of(part).outline
    if outline.reversible:
        return ""
    if not outline.pins:
        return pin_role(part, pin)
    return pin


def _groups(circuit: Circuit, loose: set[str], inner: set[str]) -> list[list[str]]:
    """Connected pieces of what is not shared, in the order of their references."""
    home = {r: r for r in loose}

    def root(r: str) -> str:
        while home[r] != r:
            r = home[r]
        return r

    first: dict[str, str] = {}
    for part in circuit.parts:
        for net in part.pins.values():
            if part.reference in loose and net in inner:
                if net in first:
                    home[root(part.reference)] = root(first[net])
                else:
                    first[net] = part.reference
    pieces: dict[str, list[str]] = {}
    for part in circuit.parts:
        if part.reference in loose:
            pieces.setdefault(root(part.reference), []).append(part.reference)
    return list(pieces.values())


def pairing(
    circuit: Circuit, first: Sequence[str], second: Sequence[str], colour: Mapping[str, int], inner: set[str]
) -> tuple[dict[str, str], dict[str, str]] | None:
    """Parts and nets of one group laid on those of another, or None if that cannot be.

    Parameters
    ----------
    circuit : Circuit
        Holds both groups.
    first, second : sequence of str
        References.
    colour : mapping of str to int
        Only parts of one colour are laid on each other.
    inner : set of str
        Nets that need not be the same net in both.

    Returns
    -------
    (dict of str to str, dict of str to str) or None
        From the first group's parts and nets to the second's.
    """
    return next(_pairings(circuit, list(first), set(second), colour, inner, {}, {}), None)


def _pairings(
    circuit: Circuit,
    left: list[str],
    free: set[str],
    colour: Mapping[str, int],
    inner: set[str],
    parts: dict[str, str],
    nets: dict[str, str],
) -> Iterator[tuple[dict[str, str], dict[str, str]]]:
    if not left:
        if not free:
            yield parts, nets
        return
    a = circuit.part(left[0])
    for reference in sorted(free):
        if colour[reference] != colour[a.reference]:
            continue
        b = circuit.part(reference)
        for swap in (False, True) if kind_of(a).outline.reversible else (False,):
            pins = list(a.pins)
            onto = pins[::-1] if swap else pins
            new = dict(nets)
            if set(pins) == set(b.pins) and all(
                _lay(new, a.pins[p], b.pins[q], inner) for p, q in zip(pins, onto, strict=True)
            ):
                yield from _pairings(
                    circuit,
                    left[1:],
                    free - {reference},
                    colour,
                    inner,
                    {**parts, a.reference: reference},
                    new,
                )


def _lay(nets: dict[str, str], a: str, b: str, inner: set[str]) -> bool:
    """Lay net a on net b if that agrees with what is laid already."""
    if a not in inner or b not in inner:
        return a == b
    if a in nets:
        return nets[a] == b
    if b in nets.values():
        return False
    nets[a] = b
    return True


def _repeat(
    circuit: Circuit,
    drawn: Sequence[str],
    equal: Sequence[tuple[Sequence[str], Mapping[str, str], Mapping[str, str]]],
    inner: set[str],
    loose: set[str],
) -> Repeat:
    """What a drawn group stands for, with the pins of shared parts that each group hangs on."""
    own = [n for r in drawn for n in circuit.part(r).pins.values() if n in inner]
    hubs = {net: [p for p in circuit.nets[net] if p.reference not in loose] for net in dict.fromkeys(own)}
    nets: list[dict[str, str]] = []
    values: list[dict[str, str]] = []
    for _, parts, onto in equal:
        row = {}
        for net, pins in hubs.items():
            there = onto.get(net, net)
            for pin in pins:
                for other in circuit.nets[there]:
                    if other.reference == pin.reference:
                        row[f"{pin.reference} {pin_label(circuit.part(pin.reference), pin.pin)}"] = pin_label(
                            circuit.part(other.reference), other.pin
                        )
        nets.append(row)
        values.append(
            {
                b: value_text(circuit.part(b))
                for a, b in parts.items()
                if value_text(circuit.part(a)) != value_text(circuit.part(b))
            }
        )
    instances = tuple(tuple(parts[r] for r in drawn) for _, parts, _ in equal)
    return Repeat(drawn=tuple(drawn), instances=instances, nets=tuple(nets), values=tuple(values))


def _without(circuit: Circuit, dropped: set[str]) -> Circuit:
    """The circuit without some parts, and without pins of boxes that then lead nowhere but led somewhere before."""
    kept = [part for part in circuit.parts if part.reference not in dropped]
    legs: dict[str, int] = {}
    for part in kept:
        for net in part.pins.values():
            legs[net] = legs.get(net, 0) + 1
    before = {net: len(pins) for net, pins in circuit.nets.items()}
    trimmed = []
    for part in kept:
        if not kind_of(part).outline.pins:
            pins = {p: n for p, n in part.pins.items() if legs[n] > 1 or before[n] == 1}
            part = replace(part, pins=pins)
        trimmed.append(part)
    return replace(circuit, parts=tuple(trimmed))


def gather_runs(circuit: Circuit, levels: Levels, least: int) -> tuple[Circuit, tuple[Repeat, ...]]:
    """Circuit with each run of equal parts in series drawn as its first part.

    Parameters
    ----------
    circuit : Circuit
        To be drawn.
    levels : Levels
        From `find_levels`.
    least : int
        Length from which a run is shortened.

    Returns
    -------
    shown : Circuit
        With the first part of each run spanning it.
    repeats : tuple of Repeat
        One for each run, marked as standing in series.
    """
    nets = circuit.nets
    after: dict[str, str] = {}
    for net, pins in nets.items():
        if len(pins) != 2 or levels.role[net] != "signal" or pins[0].reference == pins[1].reference:
            continue
        a, b = (circuit.part(pin.reference) for pin in pins)
        path = kind_of(a).path
        same = (
            a.kind == b.kind
            and value_text(a) == value_text(b)
            and len(a.pins) == len(b.pins) == len(path) == 2
        )
        if same and not kind_of(a).supplies:
            for up, down, up_pin, down_pin in ((a, b, *pins), (b, a, *pins[::-1])):
                if up_pin.pin == path[1] and down_pin.pin == path[0]:
                    after[up.reference] = down.reference
    changed: dict[str, Part] = {}
    dropped: set[str] = set()
    repeats = []
    for part in circuit.parts:
        if part.reference in after.values() or part.reference not in after:
            continue
        run = [part.reference]
        while run[-1] in after and after[run[-1]] not in run:
            run.append(after[run[-1]])
        if len(run) < least:
            continue
        path = kind_of(part).path
        last = circuit.part(run[-1])
        changed[part.reference] = replace(
            part, pins={path[0]: part.pins[path[0]], path[1]: last.pins[path[1]]}
        )
        dropped.update(run[1:])
        repeats.append(Repeat(drawn=(run[0],), instances=tuple((r,) for r in run), series=True))
    parts = tuple(changed.get(p.reference, p) for p in circuit.parts if p.reference not in dropped)
    return replace(circuit, parts=parts), tuple(repeats)  # fmt: skip
