"""Which parts stand in columns, which lie across, and which end is up."""

from __future__ import annotations

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit, Part
from lidoff.circuit.outlines import Outline
from lidoff.schematic.levels import ALTERNATING, Levels
from lidoff.schematic.shapes import Turn, pin_role

__all__ = ["TURNED", "UPRIGHT", "standing_turn"]

UPRIGHT, TURNED = Turn(0), Turn(2)


def standing_turn(part: Part, outline: Outline, circuit: Circuit, levels: Levels) -> Turn | None:
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
        return turn
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
        if len(others) != 1:
            return False
        passing = circuit.part(others[0].reference)
        path = kind_of(passing).path
        ends = path if len(passing.pins) > 2 else tuple(passing.pins)
        if len(ends) != 2 or others[0].pin not in ends or not set(ends) <= set(passing.pins):
            return False
        before = passing.reference
        net = next(passing.pins[pin] for pin in ends if pin != others[0].pin)
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
