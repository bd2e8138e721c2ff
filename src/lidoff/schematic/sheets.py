"""A large circuit falls into sheets: by its groups first, then by what hangs together."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.circuit.netlist import Circuit
from lidoff.schematic.levels import Levels
from lidoff.schematic.options import Group

__all__ = ["split_sheets"]


def split_sheets(
    circuit: Circuit, levels: Levels, groups: Sequence[Group], limit: int
) -> list[tuple[str, frozenset[str]]]:
    """Name and references of each sheet.

    Parameters
    ----------
    circuit : Circuit
        What is drawn.
    levels : Levels
        Rails do not hold parts together: they have symbols on every sheet.
    groups : sequence of Group
        Blocks; none is torn apart unless it alone is too large.
    limit : int
        Parts a sheet.

    Returns
    -------
    list of (str, frozenset of str)
        One entry, without a name, if all fits on one sheet.
    """
    references = [part.reference for part in circuit.parts]
    if len(references) <= limit:
        return [("", frozenset(references))]
    ties = _ties(circuit, levels)
    blocks: list[tuple[str, list[str]]] = []
    taken: set[str] = set()
    for group in groups:
        members = [r for r in references if r in group.parts and r not in taken]
        if 0 < len(members) <= limit:
            blocks.append((group.caption, members))
            taken.update(members)
    blocks.extend(("", members) for members in _pieces(circuit, levels, taken, limit))
    sheets: list[tuple[str, frozenset[str]]] = []
    left = blocks
    wanted = -(-len(references) // limit)
    size = -(-len(references) // wanted)
    while left:
        sheet, left = _grow(left, ties, size, limit)
        names = [name for name, _ in sheet if name]
        sheets.append((", ".join(names), frozenset(r for _, members in sheet for r in members)))
    return sheets


def _pieces(circuit: Circuit, levels: Levels, taken: set[str], limit: int) -> list[list[str]]:
    """What hangs together over signal nets; too large a piece is cut at nets of more and more legs."""
    left = [part.reference for part in circuit.parts if part.reference not in taken]
    pieces: list[list[str]] = []
    for most in (1000, 6, 4, 3, 2, 0):
        fitting: list[list[str]] = []
        large: list[list[str]] = []
        for piece in _joined(circuit, levels, left, most):
            (fitting if len(piece) <= max(limit // 3, 1) or most == 0 else large).append(piece)
        pieces.extend(fitting)
        left = [r for piece in large for r in piece]
    return sorted(pieces, key=lambda piece: piece[0])


def _joined(circuit: Circuit, levels: Levels, references: Sequence[str], most: int) -> list[list[str]]:
    """Connected pieces over signal nets of at most so many legs."""
    home = {r: r for r in references}

    def root(r: str) -> str:
        while home[r] != r:
            r = home[r]
        return r

    for net, pins in circuit.nets.items():
        legs = [pin.reference for pin in pins if pin.reference in home]
        if levels.role[net] == "signal" and len(pins) <= most:
            for other in legs[1:]:
                home[root(other)] = root(legs[0])
    pieces: dict[str, list[str]] = {}
    for r in references:
        pieces.setdefault(root(r), []).append(r)
    return list(pieces.values())


def _ties(circuit: Circuit, levels: Levels) -> dict[str, dict[str, float]]:
    """How strongly parts hang together: each signal net counts the more, the fewer legs it has."""
    ties: dict[str, dict[str, float]] = {part.reference: {} for part in circuit.parts}
    for net, pins in circuit.nets.items():
        legs = {pin.reference for pin in pins}
        rail = levels.role[net] != "signal" and len(legs) > 4
        weight = 0.01 if rail else 1.0 / max(len(legs) - 1, 1)
        if len(legs) > 40:
            continue
        for a in legs:
            for b in legs:
                if a != b:
                    ties[a][b] = ties[a].get(b, 0.0) + weight
    return ties


def _grow(
    blocks: list[tuple[str, list[str]]], ties: dict[str, dict[str, float]], size: int, limit: int
) -> tuple[list[tuple[str, list[str]]], list[tuple[str, list[str]]]]:
    """One sheet, grown from the first block by always taking the block that hangs on it most."""
    sheet = [blocks[0]]
    count = len(blocks[0][1])
    pull = dict.fromkeys(range(1, len(blocks)), 0.0)

    def draw_in(members: list[str]) -> None:
        for k in pull:
            pull[k] += sum(ties[r].get(m, 0.0) for r in blocks[k][1] for m in members)

    draw_in(blocks[0][1])
    while pull and count < size:
        fitting = [k for k in pull if count + len(blocks[k][1]) <= limit]
        if not fitting:
            break
        k = max(fitting, key=lambda k: (pull[k] / len(blocks[k][1]) ** 0.5, -k))
        sheet.append(blocks[k])
        count += len(blocks[k][1])
        del pull[k]
        draw_in(blocks[k][1])
    return sheet, [blocks[k] for k in sorted(pull)]
