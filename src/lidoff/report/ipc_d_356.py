"""A traced board as IPC-D-356, the open format of bare-board testers: every land and hole with its net and place.

Columns are counted from one, as the standard counts them, and are written here from memory: have a file checked before a
tester is driven by it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import TYPE_CHECKING

from lidoff.report.words import clean

if TYPE_CHECKING:
    from lidoff.board import Board, Hole, Pad

__all__ = ["ipc_d_356"]

LONGEST_NET = 14
LONGEST_REFERENCE = 6
LONGEST_PIN = 4
MOST = 999_999
"""Largest place that six digits hold [µm]."""
MOST_SIZE = 9_999
"""Largest size that four digits hold [µm]."""


def ipc_d_356(board: Board, *, title: str = "") -> str:
    """Netlist of a traced board for a tester.

    Parameters
    ----------
    board : Board
        Traced; places from its lower left corner, as seen from the front.
    title : str, optional
        Of the device.

    Returns
    -------
    str
        Records of at most 80 columns in micrometres. Net names of more than 14 letters, or of letters beyond ASCII, stand
        under an alias that the head tells.

    References
    ----------
    .. [1] IPC-D-356A, Bare Substrate Electrical Test Data Format (columns from memory).
    """
    from lidoff.board import board_nets

    nets = board_nets(board)
    of_pin = nets.pin_nets()
    of_hole = {hole: net.name for net in nets.nets for hole in net.holes}
    aliases = _aliases([net.name for net in nets.nets])
    records = [
        _land(board, pad, aliases.get(of_pin.get(pad.pin, ""), "N/C"), _hole_in(board, pad))
        for pad in _lands(board)
    ]
    taken = {id(hole) for pad in _lands(board) if (hole := _hole_in(board, pad)) is not None}
    records += [
        _bare_hole(board, hole, aliases.get(of_hole.get(f"hole:{number}", ""), "N/C"))
        for number, hole in enumerate(board.holes, start=1)
        if id(hole) not in taken
    ]
    head = [
        "C  Net names and places as traced from photos; not the maker's own data",
        "P  JOB   " + _ascii(board.name)[:60],
        "P  CODE  00",
        "P  UNITS CUST 1",
        "P  TITLE " + _ascii(title or board.name)[:60],
        "P  NUM   1",
        "P  REV   0",
        "P  VER   IPC-D-356A",
        "P  IMAGE PRIMARY",
    ]
    head += [
        f"P  {alias:<8} {_ascii(name)[:66]}" for name, alias in aliases.items() if alias.startswith("NNAME")
    ]
    return "\n".join([*head, *sorted(records, key=lambda record: record[3:]), "999", ""])


def _lands(board: Board) -> list[Pad]:
    return [pad for part in board.parts for pad in part.pads]


def _hole_in(board: Board, pad: Pad) -> Hole | None:
    """Hole that a land surrounds."""
    reach = max(pad.size) / 2
    near = (hole for hole in board.holes if math.dist(hole.at, pad.at) <= reach)
    return min(near, key=lambda hole: math.dist(hole.at, pad.at), default=None)


def _aliases(names: list[str]) -> Mapping[str, str]:
    """Name of each net as it fits into its columns."""
    aliases: dict[str, str] = {}
    long = 0
    for name in sorted(names):
        plain = _ascii(name)
        if plain == name and len(plain) <= LONGEST_NET:
            aliases[name] = plain
        else:
            long += 1
            aliases[name] = f"NNAME{long}"
    return aliases


def _ascii(text: str) -> str:
    """Text in printable ASCII without blanks."""
    return re.sub(r"[^!-~]+", "_", clean(text).strip())


def _land(board: Board, pad: Pad, net: str, hole: Hole | None) -> str:
    reference, _, pin = pad.pin.partition(".")
    drilled = "" if hole is None else f"D{_size(hole.diameter)}{'P' if hole.plated else 'U'}"
    access = "A00" if hole is not None and hole.plated else "A01" if pad.side == "front" else "A02"
    turn = round(-pad.turn) % 360
    sizes = f"X{_size(pad.size[0])}Y{'0000' if pad.round else _size(pad.size[1])}R{turn:03d}"
    return _record(
        "327" if hole is None else "317", net, reference, pin, drilled, access, _place(board, pad.at), sizes
    )


def _bare_hole(board: Board, hole: Hole, net: str) -> str:
    drilled = f"D{_size(hole.diameter)}{'P' if hole.plated else 'U'}"
    sizes = f"X{_size(hole.diameter)}Y0000R000"
    name = "VIA" if hole.plated else ""
    return _record(
        "317" if hole.plated else "367", net, name, "", drilled, "A00", _place(board, hole.at), sizes
    )


def _record(
    code: str, net: str, reference: str, pin: str, drilled: str, access: str, place: str, sizes: str
) -> str:
    """A line: code in columns 1–3, net 4–17, reference 21–26, pin 28–31, hole 33–38, access 39–41, place 42–57, size 58–71."""
    named = _ascii(reference)[:LONGEST_REFERENCE] if reference else ""
    dash = "-" if pin else " "
    told = _ascii(pin)[:LONGEST_PIN] if pin else ""
    return f"{code}{net:<14}   {named:<6}{dash}{told:<4} {drilled:<6}{access}{place}{sizes} S0"


def _place(board: Board, at: tuple[float, float]) -> str:
    """Place from the lower left corner, up and to the right [µm]."""
    x, y = at[0], board.size[1] - at[1]
    return f"X{_signed(x)}Y{_signed(y)}"


def _signed(millimetres: float) -> str:
    micrometres = round(millimetres * 1000)
    held = min(abs(micrometres), MOST)
    return f"{'-' if micrometres < 0 else '+'}{held:06d}"


def _size(millimetres: float) -> str:
    return f"{min(round(millimetres * 1000), MOST_SIZE):04d}"
