"""Rigid pieces that are placed as one: series strings that stand in a column, and single parts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.circuit.outlines import Outline
from lidoff.schematic.levels import Levels
from lidoff.schematic.options import Pinned
from lidoff.schematic.shapes import Lead, Rect, Shape, Turn, outline_of, shape_of
from lidoff.schematic.standing import standing_turn
from lidoff.schematic.unit import Flag, Unit, Variant, flag_room, flags_apart

__all__ = ["build_units"]


def build_units(
    circuit: Circuit,
    levels: Levels,
    flagged: Mapping[str, str],
    text: Mapping[str, Sequence[str]],
    *,
    pinned: Mapping[str, Pinned],
    zigzag: bool = False,
    sides: Mapping[str, Mapping[str, Sequence[str]]] | None = None,
    chained: bool = True,
) -> list[Unit]:
    """Units of a circuit.

    Parameters
    ----------
    circuit : Circuit
        Whose parts are all of known kinds.
    levels : Levels
        From `find_levels`.
    flagged : mapping of str to str
        Nets whose pins end in symbols, with their role.
    text : mapping of str to sequence of str
        Lines beside each part.
    pinned : mapping of str to Pinned
        Parts that a person placed.
    zigzag : bool
        Whether resistors are drawn after IEEE 315.
    sides : mapping, optional
        Pin order of boxes that has been worked out already.
    chained : bool
        Whether series strings are kept together.

    Returns
    -------
    list of Unit
        In the order of the circuit.
    """
    parts = {part.reference: part for part in circuit.parts}
    outlines = {
        reference: outline_of(part, zigzag=zigzag, pin_order=(sides or {}).get(reference))
        for reference, part in parts.items()
    }
    upright = {
        reference: turn
        for reference, part in parts.items()
        if reference not in pinned
        and (turn := standing_turn(part, outlines[reference], circuit, levels)) is not None
    }
    chains = _chains(circuit, levels, upright, flagged) if chained else [[ref] for ref in upright]
    units: list[Unit] = []
    done: set[str] = set()
    by_first = {chain[0]: chain for chain in chains}
    in_chain = {reference: chain[0] for chain in chains for reference in chain}
    for reference, part in parts.items():
        if reference in done:
            continue
        if reference in pinned:
            turn = Turn(pinned[reference].quarter_turns, pinned[reference].mirrored)
            shapes = [[(shape_of(part, outlines[reference], turn, text[reference]), 0, 0)]]
            units.append(
                Unit(
                    references=(reference,),
                    variants=tuple(_variant(s, flagged, 0.0) for s in shapes),
                    pinned=pinned[reference],
                )
            )
            done.add(reference)
        elif reference in in_chain:
            chain = by_first[in_chain[reference]]
            done.update(chain)
            units.append(_chain_unit(chain, parts, outlines, upright, flagged, text))
        else:
            done.add(reference)
            units.append(_single_unit(part, outlines[reference], flagged, text[reference], levels))
    return units


def _ends(part: Part, turn: Turn, outline: Outline) -> tuple[str, str]:
    """Net of the upper and the lower end of a standing part."""
    path = kind_of(part).path
    tops = sorted(path, key=lambda pin: turn.point(*outline.pins[pin])[1])
    return part.pins[tops[0]], part.pins[tops[1]]


def _chains(
    circuit: Circuit, levels: Levels, upright: Mapping[str, Turn], flagged: Mapping[str, str]
) -> list[list[str]]:
    """Series strings of standing parts; at a net with several, the pair that carries most goes on."""
    parts = {part.reference: part for part in circuit.parts}
    ends = {}
    for reference, turn in upright.items():
        ends[reference] = _ends(parts[reference], turn, outline_of(parts[reference]))
    below: dict[str, str] = {}
    above: dict[str, str] = {}

    def drives(reference: str) -> bool:
        return kind_of(parts[reference]).supplies

    def weight(reference: str) -> tuple[bool, float, str]:
        return (drives(reference), -abs(levels.current.get(reference, 0.0)), reference)

    for net in circuit.nets:
        if net in flagged:
            continue
        uppers = sorted((r for r in upright if ends[r][1] == net and ends[r][0] != net), key=weight)
        lowers = sorted((r for r in upright if ends[r][0] == net and ends[r][1] != net), key=weight)
        if uppers and lowers and drives(uppers[0]) != drives(lowers[0]):
            continue  # a source stands apart from what it feeds
        if uppers and lowers and ends[uppers[0]][0] != ends[lowers[0]][1]:
            below[uppers[0]] = lowers[0]
            above[lowers[0]] = uppers[0]
    chains = []
    for reference in upright:
        if reference in above:
            continue
        chain = [reference]
        while chain[-1] in below and below[chain[-1]] not in chain:
            chain.append(below[chain[-1]])
        chains.append(chain)
    listed = {reference for chain in chains for reference in chain}
    chains.extend([reference] for reference in upright if reference not in listed)
    return chains


def _chain_unit(
    chain: Sequence[str],
    parts: Mapping[str, Part],
    outlines: Mapping[str, Outline],
    upright: Mapping[str, Turn],
    flagged: Mapping[str, str],
    text: Mapping[str, Sequence[str]],
) -> Unit:
    many = [ref for ref in chain if len(parts[ref].pins) > 2]
    turned = {ref for ref in many if upright[ref].quarters}
    mirrors = [set[str](), set(many)] if many else [set[str]()]
    if turned and len(turned) < len(many):  # what controls both ways round may come in from one side
        mirrors.extend((turned, set(many) - turned))
    variants = []
    for mirrored in mirrors:
        shapes = []
        for place, ref in enumerate(chain):
            turn = Turn(upright[ref].quarters, True) if ref in mirrored else upright[ref]
            shapes.append((shape_of(parts[ref], outlines[ref], turn, text[ref]), 0, 4 * place))
        variants.append(_variant(shapes, flagged, 3.0 if mirrored - turned else 0.0))
    if len(chain) == 1 and len(parts[chain[0]].pins) == 2 and not kind_of(parts[chain[0]]).supplies:
        ref = chain[0]
        loose = not any(net in flagged for net in parts[ref].pins.values())
        for quarters, cost in ((3, 7.0), (1, 9.0)):
            shape = shape_of(parts[ref], outlines[ref], Turn(quarters), text[ref])
            variants.append(_variant([(shape, 0, 0)], flagged, cost - (3.0 if loose else 0.0)))
        shape = shape_of(parts[ref], outlines[ref], Turn(upright[ref].quarters + 2), text[ref])
        variants.append(_variant([(shape, 0, 0)], flagged, 14.0))
    return Unit(
        references=tuple(chain), variants=tuple(variants), alike=tuple(parts[ref].kind for ref in chain)
    )


def _single_unit(
    part: Part, outline: Outline, flagged: Mapping[str, str], text: Sequence[str], levels: Levels
) -> Unit:
    if outline.name == "box":
        turns = [(Turn(0), 0.0), (Turn(0, True), 1.0 if kind_of(part).name == "connector" else 9.0)]
    elif len(part.pins) == 2:
        path = kind_of(part).path or tuple(part.pins)
        high, low = (part.pins[pin] for pin in path)
        forward = levels.potential[high] >= levels.potential[low]
        flow = 0.0 if abs(levels.potential[high] - levels.potential[low]) < 1e-6 else 2.0
        turns = [
            (Turn(3), 0.0 if forward else flow),
            (Turn(1), flow if forward else 0.0),
            (Turn(0), 7.0 if forward else 12.0),
            (Turn(2), 12.0 if forward else 7.0),
        ]
    else:
        turns = [(Turn(0), 0.0), (Turn(2, True), 2.0), (Turn(0, True), 8.0)]
    variants = [
        _variant([(shape_of(part, outline, turn, text), 0, 0)], flagged, bias) for turn, bias in turns
    ]
    return Unit(references=(part.reference,), variants=tuple(variants), alike=(part.kind,))


def _variant(shapes: Sequence[tuple[Shape, int, int]], flagged: Mapping[str, str], bias: float) -> Variant:
    wires: list[Lead] = []
    flags: list[Flag] = []
    bodies: list[Rect] = []
    rooms: list[Rect] = []
    extra = 0.0
    spots: dict[tuple[int, int], int] = {}
    for shape, ox, oy in shapes:
        for lead in shape.leads:
            spots[(lead.x + ox, lead.y + oy)] = spots.get((lead.x + ox, lead.y + oy), 0) + 1
    for shape, ox, oy in shapes:
        bodies.append(_moved(shape.body, ox, oy))
        rooms.append(_moved(shape.room, ox, oy))
        for lead in shape.leads:
            x, y = lead.x + ox, lead.y + oy
            if lead.net in flagged:
                flag = Flag(lead.net, flagged[lead.net], x, y, lead.dx, lead.dy)
                flags.append(flag)
                wrong = (flag.role == "ground" and lead.dy < 0) or (flag.role == "supply" and lead.dy > 0)
                extra += 12.0 if wrong else (2.0 if lead.dx else 0.0)
            else:
                joint = spots[(x, y)] > 1
                wires.append(
                    Lead(
                        f"{shape.reference}.{lead.pin}",
                        lead.net,
                        x,
                        y,
                        0 if joint else lead.dx,
                        0 if joint else lead.dy,
                    )
                )
                ahead = (x + lead.dx, y + lead.dy) if len(shape.leads) > 3 and not joint else (x, y)
                rooms.append((min(x, ahead[0]), min(y, ahead[1]), max(x, ahead[0]), max(y, ahead[1])))
    flags = flags_apart(flags)
    rooms.extend(flag_room(flag) for flag in flags)
    return Variant(
        shapes=tuple(shapes),
        wires=tuple(wires),
        flags=tuple(flags),
        bodies=tuple(bodies),
        rooms=_simplified(rooms),
        bias=bias + extra,
    )  # fmt: skip


def _simplified(rects: Sequence[Rect]) -> tuple[Rect, ...]:
    """The same cover with fewer rectangles: contained ones dropped, stacked ones of one width joined."""
    kept: list[Rect] = []
    for r in sorted(set(rects), key=lambda r: ((r[0] - r[2]) * (r[3] - r[1] + 1), r)):
        if not any(k[0] <= r[0] and k[1] <= r[1] and k[2] >= r[2] and k[3] >= r[3] for k in kept):
            kept.append(r)
    kept.sort(key=lambda r: (r[0], r[2], r[1]))
    joined: list[Rect] = []
    for r in kept:
        if joined and joined[-1][0] == r[0] and joined[-1][2] == r[2] and r[1] <= joined[-1][3] + 1:
            joined[-1] = (r[0], joined[-1][1], r[2], max(joined[-1][3], r[3]))
        else:
            joined.append(r)
    return tuple(joined)


def _moved(rect: Rect, dx: int, dy: int) -> Rect:
    return (rect[0] + dx, rect[1] + dy, rect[2] + dx, rect[3] + dy)
