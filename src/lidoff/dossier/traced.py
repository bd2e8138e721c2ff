"""Traced boards of a dossier: read from ``boards/*.json``, merged with the typed parts, and each checked against the other."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path, PurePosixPath

from lidoff.board import Board as TracedBoard
from lidoff.board import Nets as BoardNets
from lidoff.board import board_from_dict
from lidoff.dossier.entries import PartEntry
from lidoff.dossier.inside import lies_inside
from lidoff.dossier.net_names import name_in_circuit, nets_of_board, pin_on_land, placed_twice, typed_nets
from lidoff.errors import DossierError, located

__all__ = [
    "BOARDS_FOLDER",
    "LARGEST_BOARD",
    "Disagreement",
    "board_from_text",
    "board_texts",
    "merged_parts",
]

BOARDS_FOLDER = "boards"
LARGEST_BOARD = 60_000_000
"""Bytes; a larger file of a board is refused unread."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Disagreement:
    """Something on which a traced board and the typed circuit do not agree.

    Attributes
    ----------
    board : str
        Name of the board.
    what : str
        The disagreement in words.
    remedy : str
        What to look at.
    parts, nets : tuple of str
        What it is about.
    at : tuple of float or None
        Where on the board to look first [mm], None where it has no place.
    side : str
        On which side; empty for both.
    """

    board: str
    what: str
    remedy: str
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    at: tuple[float, float] | None = None
    side: str = ""


def board_texts(folder: Path) -> Mapping[str, str]:
    """Text of every traced board in a dossier's folder, by path inside it.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Returns
    -------
    mapping of str to str
        Sorted; empty where nothing is traced.

    Raises
    ------
    DossierError
        A file cannot be read, is too large, or lies outside the folder by way of a link.
    """
    found = {}
    for file in sorted((folder / BOARDS_FOLDER).glob("*.json")):
        name = f"{BOARDS_FOLDER}/{file.name}"
        try:
            if not file.is_file():
                raise DossierError("this is no ordinary file", where=name, remedy="trace the board again")
            if not lies_inside(folder, file):
                raise DossierError(
                    "the board is a link that leads out of the folder",
                    where=name,
                    remedy="put the file itself into the folder",
                )
            if file.stat().st_size > LARGEST_BOARD:
                raise DossierError(
                    f"the file has {file.stat().st_size / 1e6:.0f} MB, and a board at most {LARGEST_BOARD / 1e6:.0f} MB",
                    where=name,
                    remedy="trace it on a coarser raster",
                )
            found[name] = file.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise DossierError(
                f"the file cannot be read ({error})", where=name, remedy="trace the board again"
            ) from None
    return found


@lru_cache(maxsize=8)  # an edit changes one file; the others were read before
def board_from_text(text: str, name: str) -> TracedBoard:
    """Traced board of a JSON text.

    Parameters
    ----------
    text : str
        As ``boards/NAME.json`` holds it.
    name : str
        Path that messages call it by; its stem must be the board's own name.

    Returns
    -------
    TracedBoard
        All that the file says.

    Raises
    ------
    DossierError
        The text is no JSON or no board; `faults` lists every fault.
    """
    with located(name):
        try:
            data = json.loads(text)
        except (ValueError, RecursionError) as error:  # the first also where a number has thousands of digits
            raise DossierError(f"this is no JSON ({error})", remedy="trace the board again") from None
        board = board_from_dict(data)
        stem = PurePosixPath(name).stem
        if board.name != stem:
            raise DossierError(
                f"the board calls itself {board.name!r} and its file {stem!r}", remedy="give both one name"
            )
    return board


def merged_parts(
    parts: Sequence[PartEntry], boards: Sequence[TracedBoard]
) -> tuple[tuple[PartEntry, ...], tuple[Disagreement, ...]]:
    """Parts with the pins that traced boards tell beside those typed, and where the two do not agree.

    A typed pin stays as typed. A net of a board takes the name that was given to it on the board, else the one that most of
    its typed pins have, else that of its first pin.

    Parameters
    ----------
    parts : sequence of PartEntry
        As typed.
    boards : sequence of TracedBoard
        Of the same dossier.

    Returns
    -------
    parts : tuple of PartEntry
        In the same order.
    disagreements : tuple of Disagreement
        Board by board.
    """
    entries = {part.reference: part for part in parts}
    found: list[Disagreement] = []
    twice = placed_twice(boards)
    for board in boards:
        nets = nets_of_board(board)
        pins, unknown = _pins_on_board(board, entries)
        found += unknown
        found += _joined_or_parted(board, nets, pins, entries)
        for net in nets.nets:
            own = [pins[node] for node in net.pins if node in pins]
            name = name_in_circuit(board, net, own, entries, twice)
            for reference, pin in own:
                entry = entries[reference]
                if pin not in entry.pins:
                    entries[reference] = replace(
                        entry, pins={**entry.pins, pin: name}, from_board=(*entry.from_board, pin)
                    )
    return tuple(entries[part.reference] for part in parts), tuple(found)


def _pins_on_board(
    board: TracedBoard, entries: Mapping[str, PartEntry]
) -> tuple[dict[str, tuple[str, str]], list[Disagreement]]:
    """Reference and pin of each node of the board that is one, and what has no counterpart."""
    pins: dict[str, tuple[str, str]] = {}
    found: list[Disagreement] = []
    for placed in board.parts:
        entry = entries.get(placed.reference)
        if entry is None:
            found.append(
                Disagreement(
                    board=board.name,
                    what=f"{placed.reference} ({placed.package}) lies on the board, and no part of that reference is typed",
                    remedy=f"say its kind and value under Circuit on the workbench, or as [parts.{placed.reference}]; "
                    "or take it off the board",
                    parts=(placed.reference,),
                    at=placed.at,
                    side=placed.side,
                )
            )
            continue
        for land in dict.fromkeys(pad.pin.rpartition(".")[2] for pad in placed.pads if pad.pin):
            pin = pin_on_land(entry, land)
            if pin is not None:
                pins[f"{placed.reference}.{land}"] = (placed.reference, pin)
            elif not entry.lands:
                found.append(
                    Disagreement(
                        board=board.name,
                        what=f"which pin of {placed.reference} ({entry.kind}) lies on land {land!r} of its {placed.package}?",
                        remedy=f'add lands = {{ … = "{land}" }} to the part',
                        parts=(placed.reference,),
                        at=placed.at,
                        side=placed.side,
                    )
                )
    on_board = {placed.reference for placed in board.parts}
    found += [
        Disagreement(
            board=board.name,
            what=f"{entry.reference} is said to sit on the board, and is not placed there",
            remedy="place its package on the photo, or leave board out",
            parts=(entry.reference,),
        )
        for entry in entries.values()
        if entry.board == board.name and entry.reference not in on_board
    ]
    return pins, found


def _joined_or_parted(
    board: TracedBoard,
    nets: BoardNets,
    pins: Mapping[str, tuple[str, str]],
    entries: Mapping[str, PartEntry],
) -> list[Disagreement]:
    """Nets that the board joins and the typed circuit parts, and the other way round."""
    found: list[Disagreement] = []
    lies_in: dict[str, list[str]] = {}
    places = {pad.pin: (pad.at, pad.side) for placed in board.parts for pad in placed.pads}
    for net in nets.nets:
        nodes = {pins[node]: node for node in net.pins if node in pins}
        typed = typed_nets(list(nodes), entries)
        given = {board.net_names[node] for node in net.pins if node in board.net_names}
        names = sorted({*typed, *given})
        for name in typed:
            lies_in.setdefault(name, []).append(nodes[typed[name][0]])
        if len(names) < 2:
            continue
        ends = [
            nodes[typed[name][0]] if name in typed else _named_node(board, net.pins, name)
            for name in names[:2]
        ]
        chain = [link for link in nets.chain(ends[0], ends[1]) if not link.stated]
        weakest = min(chain, key=lambda link: link.probability, default=None)
        found.append(
            Disagreement(
                board=board.name,
                what=f"the board joins what the circuit keeps apart: {' and '.join(names)} "
                f"({ends[0]} reaches {ends[1]} through copper)",
                remedy="look at the surest chain between them; cut the copper there, or correct the typed nets",
                parts=tuple(sorted({reference for group in typed.values() for reference, _ in group})),
                nets=tuple(names),
                at=weakest.at if weakest else None,
                side=weakest.side if weakest else "",
            )
        )
    for name, nodes_of in lies_in.items():
        if len(nodes_of) < 2:
            continue
        at, side = places.get(nodes_of[1], (None, ""))
        found.append(
            Disagreement(
                board=board.name,
                what=f"the circuit joins what the board keeps apart: {name} lies in {len(nodes_of)} pieces, "
                f"at {', '.join(nodes_of)}",
                remedy="look for a bridge that was missed between them, state the wire that joins them, "
                "or correct the typed nets",
                parts=tuple(sorted({node.rpartition(".")[0] for node in nodes_of})),
                nets=(name,),
                at=at,
                side=side,
            )
        )
    return found


def _named_node(board: TracedBoard, nodes: Sequence[str], name: str) -> str:
    return next(node for node in nodes if board.net_names.get(node) == name)
