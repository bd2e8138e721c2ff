"""Rigid pieces that are placed as one: series strings that stand in a column, and single parts."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.circuit.outlines import Outline
from lidoff.fonts import text_width
from lidoff.schematic.levels import ALTERNATING, Levels
from lidoff.schematic.options import Pinned
from lidoff.schematic.shapes import Lead, Rect, Shape, Turn, outline_of, pin_role, shape_of

__all__ = ["Flag", "Unit", "Variant", "build_units", "flag_room"]

UPRIGHT, TURNED = Turn(0), Turn(2)


@dataclass(frozen=True, slots=True)
class Flag:
    """A drop to a rail at a pin: supply bar, ground or named label, with its stub.

    Attributes
    ----------
    net, role : str
        ``supply``, ``ground`` or ``label``.
    x, y : int
        The pin.
    dx, dy : int
        Its way out.
    stub : tuple of points
        Corners from the pin to where the symbol or the drop to a bus begins.
    level : int
        Height at which a bus would run without a detour.
    column : int
        Where the drop runs up or down.
    """

    net: str
    role: str
    x: int
    y: int
    dx: int
    dy: int
    stub: tuple[tuple[int, int], ...] = field(init=False)
    level: int = field(init=False)
    column: int = field(init=False)

    def __post_init__(self) -> None:
        stub = self._stub()
        object.__setattr__(self, "stub", stub)
        object.__setattr__(self, "level", stub[-1][1] + (self.dy if len(stub) == 1 else 0))
        object.__setattr__(self, "column", stub[-1][0])

    @property
    def upward(self) -> bool:
        """Whether the rail lies above."""
        return self.role == "supply"

    def _stub(self) -> tuple[tuple[int, int], ...]:
        pin = (self.x, self.y)
        if self.role == "label" or (self.dy < 0 if self.upward else self.dy > 0):
            return (pin,)
        if self.dx:
            return (pin, (self.x + self.dx, self.y))
        return (pin, (self.x, self.y + self.dy), (self.x - 2, self.y + self.dy))

    def moved(self, dx: int, dy: int) -> Flag:
        """Return the same drop elsewhere."""
        return Flag(self.net, self.role, self.x + dx, self.y + dy, self.dx, self.dy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One way to draw a unit, round its own origin.

    Attributes
    ----------
    shapes : tuple of (Shape, int, int)
        Parts with the origin of each.
    wires : tuple of Lead
        Pins that need wires.
    flags : tuple of Flag
        Pins that end in a rail symbol.
    bodies, rooms : tuple of rectangles
        What is covered, and what must be kept free of other symbols.
    bias : float
        What this way costs against the best one.
    """

    shapes: tuple[tuple[Shape, int, int], ...]
    wires: tuple[Lead, ...]
    flags: tuple[Flag, ...]
    bodies: tuple[Rect, ...]
    rooms: tuple[Rect, ...]
    bias: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """Parts that move together, in the ways that they may be drawn; `alike` tells their kinds."""

    references: tuple[str, ...]
    variants: tuple[Variant, ...]
    pinned: Pinned | None = None
    alike: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """First reference."""
        return self.references[0]


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
        and (turn := _standing(part, outlines[reference], circuit, levels)) is not None
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
            units.append(_chain_unit(chain, parts, outlines, upright, flagged, text, levels))
        else:
            done.add(reference)
            units.append(_single_unit(part, outlines[reference], flagged, text[reference], levels))
    return units


def _standing(part: Part, outline: Outline, circuit: Circuit, levels: Levels) -> Turn | None:
    """Turn of a part that belongs in a column, or None when it lies across or is a box."""
    path = kind_of(part).path
    if len(path) != 2 or not all(pin in part.pins for pin in path):
        return None
    if outline.pins[path[0]][0] != 0 or outline.pins[path[1]][0] != 0:
        return None
    high, low = part.pins[path[0]], part.pins[path[1]]
    v_high, v_low = levels.potential[high], levels.potential[low]
    roles = (levels.role[high], levels.role[low])
    turn = UPRIGHT if v_high >= v_low - 1e-12 or (outline.pins[path[0]][1] > 0) else TURNED
    if kind_of(part).supplies:
        return UPRIGHT
    if len(part.pins) > 2:
        return turn if v_high >= v_low - 1e-12 else turn
    if "ground" in roles:
        return UPRIGHT if roles[1] == "ground" else TURNED
    if roles == ("supply", "supply"):
        return None
    if "supply" in roles:
        near, other = (high, low) if roles[0] == "supply" else (low, high)
        if _feeds_on(circuit, levels, near, other, part):
            return None
        return UPRIGHT if roles[0] == "supply" else TURNED
    if _feeds_on(circuit, levels, "", low, part) and _feeds_on(circuit, levels, "", high, part):
        return None
    if _across(circuit, levels, part, high, low):
        return None
    return turn


def _feeds_on(circuit: Circuit, levels: Levels, near: str, net: str, part: Part) -> bool:
    """Whether the part only passes a supply on: from its far net a plain string leads to a source or another rail."""
    before = part.reference
    for _ in range(8):
        pins = circuit.nets[net]
        if levels.role[net] == "supply":
            return net != near
        if levels.role[net] == "ground":
            return False
        others = [pin for pin in pins if pin.reference != before]
        for pin in others:
            kind = kind_of(circuit.part(pin.reference))
            if kind.supplies and kind.path[:1] == (pin.pin,):
                return levels.potential[net] > 0 and (kind.outline.name not in ALTERNATING or len(pins) == 2)
        if len(others) != 1 or len(circuit.part(others[0].reference).pins) != 2:
            return False
        before = others[0].reference
        net = next(n for p, n in circuit.part(before).pins.items() if p != others[0].pin)
    return False


def _across(circuit: Circuit, levels: Levels, part: Part, high: str, low: str) -> bool:
    """Whether a part between two signal nets lies across: it carries little of what flows at either end."""
    mine = abs(levels.current.get(part.reference, 0.0))
    if mine < 1e-9:
        return True
    for net in (high, low):
        total = sum(
            abs(levels.current.get(pin.reference, 0.0))
            for pin in circuit.nets[net]
            if pin.pin in kind_of(circuit.part(pin.reference)).path
        )
        if mine < 0.2 * total / 2:
            return True
    return _leads_in(circuit, high, low, part) or _leads_in(circuit, low, high, part)


def _leads_in(circuit: Circuit, driver: str, driven: str, part: Part) -> bool:
    """Whether the part leads from what drives (a source, a box's pin) to a controlling pin."""
    drives = steers = False
    for pin in circuit.nets[driver]:
        other = circuit.part(pin.reference)
        drives |= kind_of(other).supplies or (other is not part and pin_role(other, pin.pin) != "")
    for pin in circuit.nets[driven]:
        controls = kind_of(circuit.part(pin.reference)).controls
        steers |= any(g == pin.pin for g, _ in controls)
    return drives and steers


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
    levels: Levels,
) -> Unit:
    mirrors = [False, True] if any(len(parts[ref].pins) > 2 for ref in chain) else [False]
    variants = []
    for mirrored in mirrors:
        shapes = []
        for place, ref in enumerate(chain):
            turn = upright[ref]
            if mirrored and len(parts[ref].pins) > 2:
                turn = Turn(turn.quarters, True)
            shapes.append((shape_of(parts[ref], outlines[ref], turn, text[ref]), 0, 4 * place))
        variants.append(_variant(shapes, flagged, 3.0 if mirrored else 0.0))
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
                rooms.append(flag_room(flag))
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
                rooms.append((x, y, x, y))
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


def flag_room(flag: Flag) -> Rect:
    """Room that a rail symbol takes, its stub included."""
    x, y = flag.x, flag.y
    if flag.role == "label":
        wide = math.ceil(text_width(flag.net)) + 1
        half = wide // 2 if flag.dy else 0
        far = (x + wide * flag.dx, y + 2 * flag.dy)
        return (min(x - half, far[0]), min(y, far[1]), max(x + half, far[0]), max(y, far[1]))
    reach = -2 if flag.upward else 2
    xs = [x for x, _ in flag.stub]
    ys = [y for _, y in flag.stub]
    x, y = flag.stub[-1]
    return (min(*xs, x - 1), min(*ys, y + reach), max(*xs, x + 1), max(*ys, y + reach))


def _moved(rect: Rect, dx: int, dy: int) -> Rect:
    return (rect[0] + dx, rect[1] + dy, rect[2] + dx, rect[3] + dy)
