"""What traced boards add to an analysis: disagreements with the typed circuit and with beeps, and measured distances."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from lidoff.board import Board as TracedBoard
from lidoff.board import Distance as BoardDistance
from lidoff.board import (
    changed_since_found,
    contradictions,
    doubtful_joins,
    least_changes,
    links_of_board,
    net_distance,
)
from lidoff.dossier.analysis import Check
from lidoff.dossier.entries import Dossier
from lidoff.dossier.net_names import circuit_pins, nets_of_board, pin_on_land
from lidoff.dossier.traced import Disagreement, merged_parts
from lidoff.errors import LidoffError
from lidoff.evidence import Finding
from lidoff.hazards import Distance

__all__ = ["board_checks", "board_findings", "circuit_nets_of_board", "measured_distances"]


def board_findings(dossier: Dossier) -> tuple[Finding, ...]:
    """Where boards and typed circuit do not agree, and beeps that a board does not bear out."""
    found = [
        Finding(
            name="board and circuit disagree",
            title=f"Board {one.board}: {one.what[:1].upper()}{one.what[1:].partition(':')[0]}",
            severity="caution",
            what=f"{one.what[:1].upper()}{one.what[1:]}{_place(one)}.",
            parts=one.parts,
            nets=one.nets,
            remedy=one.remedy,
        )
        for one in merged_parts(dossier.parts, dossier.traced)[1]
    ]
    for board in dossier.traced:
        found += [*_outdated(board), *_beep_findings(board)]
    return tuple(found)


_CHANGED = {
    "photos": "its photos or its outline were laid anew",
    "parts": "parts were placed, moved or taken off",
    "strokes": "strokes were drawn or taken away",
}


def _outdated(board: TracedBoard) -> list[Finding]:
    """Copper that was found before something was said that it is found with."""
    changed = changed_since_found(board)
    if not changed:
        return []
    return [
        Finding(
            name="copper to be found again",
            title=f"Board {board.name}: copper is to be found again",
            severity="caution",
            what=f"Copper was found before {' and '.join(_CHANGED[sort] for sort in changed)}: "
            "until it is found again, nets may hang together that do not.",
            remedy=f"find it again on the workbench, or with lidoff trace DIR --board {board.name}",
        )
    ]


def _place(one: Disagreement) -> str:
    if one.at is None:
        return ""
    where = f", {one.side}" if one.side else ""
    return f" (look at {one.at[0]:.1f} mm, {one.at[1]:.1f} mm{where})"


def _beep_findings(board: TracedBoard) -> list[Finding]:
    links = links_of_board(board)
    found = []
    for one in contradictions(links, board.beeps):
        beep = one.beep
        said = "joined" if beep.joined else "not joined"
        found.append(
            Finding(
                name="beep contradicts board",
                title=f"Board {board.name}: {beep.source} contradicts the copper",
                severity="caution",
                what=f"{beep.first} and {beep.second} are {said} by {beep.source}, and the traced copper says otherwise "
                f"(look at {one.at[0]:.1f} mm, {one.at[1]:.1f} mm{', ' + one.side if one.side else ''}).",
                parts=tuple(sorted({node.partition(".")[0] for node in (beep.first, beep.second)})),
                evidence=_explanation(board),
                remedy="look at that place, then cut, bridge, or beep again",
            )
        )
    return found


def _explanation(board: TracedBoard) -> str:
    """Least set of changes under which all beeps of a board hold, in words."""
    answer = least_changes(links_of_board(board), board.beeps)
    if not answer.changes:
        return ""
    told = [
        f"{'bridge' if change.made else 'cut'} at {change.link.at[0]:.1f} mm, {change.link.at[1]:.1f} mm"
        for change in answer.changes
    ]
    return f"all beeps would hold after: {'; '.join(told)}"


def board_checks(dossier: Dossier) -> tuple[Check, ...]:
    """One check for each traced board: what was held against what."""
    wrong = merged_parts(dossier.parts, dossier.traced)[1]
    found = []
    entries = {part.reference: part for part in dossier.parts}
    for board in dossier.traced:
        nets = nets_of_board(board).pin_nets()
        typed = sum(
            1
            for node in nets
            if (entry := entries.get(node.rpartition(".")[0])) is not None
            and (pin := pin_on_land(entry, node.rpartition(".")[2])) in entry.pins
            and pin not in entry.from_board
        )
        disagree = sum(one.board == board.name for one in wrong)
        necks = len(doubtful_joins(board))
        found.append(
            Check(
                title=f"Board {board.name}",
                against="the typed circuit, by reference designator, and continuity beeps",
                outcome=f"{len(board.parts)} parts placed, {len(nets)} pins traced, {typed} of them typed as well: "
                f"{disagree or 'no'} disagreement{'' if disagree == 1 else 's'}; {len(board.beeps)} beeps",
                left_out=f"{necks} doubtful neck{'' if necks == 1 else 's'} of copper; inner layers and copper beneath bodies "
                "are not seen.",
            )
        )
    return tuple(found)


def circuit_nets_of_board(dossier: Dossier, board: TracedBoard) -> Mapping[str, tuple[str, ...]]:
    """Nets of a board by the name of the circuit's net that their pins are on."""
    entries = {part.reference: part for part in dossier.parts}
    found: dict[str, list[str]] = {}
    for net in nets_of_board(board).nets:
        for reference, pin in circuit_pins(net, entries):
            name = entries[reference].pins.get(pin)
            if name is not None and net.name not in found.setdefault(name, []):
                found[name].append(net.name)
    return {name: tuple(nets) for name, nets in found.items()}


def measured_distances(dossier: Dossier) -> tuple[tuple[Distance, ...], tuple[Finding, ...]]:
    """Distances of a dossier, with those that name a traced board measured on it.

    Parameters
    ----------
    dossier : Dossier
        With its traced boards.

    Returns
    -------
    distances : tuple of Distance
        Creepage and clearance filled in where they were left out; a distance that cannot be measured is left out.
    findings : tuple of Finding
        Why a distance could not be measured.
    """
    boards = {board.name: board for board in dossier.traced}
    distances: list[Distance] = []
    found: list[Finding] = []
    for one in dossier.distances:
        if not one.board or (one.creepage and one.clearance):
            distances.append(one)
            continue
        try:
            distances.append(_measured(dossier, one, boards))
        except LidoffError as error:
            found.append(
                Finding(
                    name="distance not measured",
                    title=f"Distance {one.name} not measured",
                    severity="note",
                    what=f"{error.what}.",
                    nets=one.between,
                    remedy=error.remedy,
                )
            )
            if one.creepage or one.clearance:
                distances.append(one)
    return tuple(distances), tuple(found)


def _measured(dossier: Dossier, one: Distance, boards: Mapping[str, TracedBoard]) -> Distance:
    from lidoff.errors import UnknownName

    if one.board not in boards:
        raise UnknownName(
            f"the board {one.board!r} is not traced yet",
            name=one.board,
            known=boards,
            remedy=f"trace it: lidoff trace DIR --board {one.board}",
        )
    board = boards[one.board]
    names = circuit_nets_of_board(dossier, board)
    first, second = (names.get(net, ()) for net in one.between)
    degree = int(one.pollution_degree) if one.pollution_degree else 2
    measured = net_distance(
        board, first or (one.between[0],), second or (one.between[1],), pollution_degree=degree
    )
    where = f"measured on the traced board, {measured.creepage_side}"
    return replace(
        one,
        creepage=one.creepage or _text(measured.creepage),
        clearance=one.clearance or _text(measured.clearance),
        note=f"{one.note}; {where}" if one.note else where,
    )


def _text(way: BoardDistance) -> str:
    return f"{way.length:.2f} mm ± {2.0 * way.uncertainty:.2f} mm"
