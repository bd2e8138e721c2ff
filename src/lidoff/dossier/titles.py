"""What an edit does, in a few words for the history."""

from __future__ import annotations

from lidoff.dossier.edits import (
    Add,
    Attach,
    Beep,
    BeginBoard,
    Decide,
    Detach,
    DropHole,
    Edit,
    Move,
    NameNet,
    OutlineBoard,
    Pin,
    Place,
    PutHole,
    Register,
    Remove,
    Rename,
    Set,
    Several,
    ShowSide,
    Stroke,
    Traced,
    Unbeep,
    Unpin,
    Unplace,
    Unstroke,
    Unwire,
    Wire,
)
from lidoff.dossier.plain_edits import Path

__all__ = ["title_of"]

_LONGEST = 60


def title_of(edit: Edit) -> str:
    """Few words that say what an edit does.

    Parameters
    ----------
    edit : Edit
        Any.

    Returns
    -------
    str
        Its own title where it has one.

    Examples
    --------
    >>> from lidoff.dossier.edits import Set
    >>> title_of(Set(path=("parts", "R3", "resistance"), value="4k7"))
    'R3: resistance 4k7'
    """
    if edit.title:
        return _short(edit.title)
    if isinstance(edit, Several):
        return f"{title_of(edit.edits[0])}, and {len(edit.edits) - 1} more" if edit.edits else "nothing"
    return _short(_words(edit))


def _words(edit: Edit) -> str:
    match edit:
        case Set(path=path, value=value):
            return f"{_place(path)}: removed" if value is None else f"{_place(path)} {_shown(value)}".strip()
        case Add(path=path):
            return f"new {_row(path)}"
        case Remove(path=path):
            return f"{_row(path)} removed"
        case Move(path=path):
            return f"{_row(path)} moved"
        case Rename(what=what, name=name, to=to):
            return f"{what} {name} is now {to}"
        case Pin(part=part):
            return f"{part} placed in the drawing"
        case Unpin(part=part):
            return f"{part} placed by the drawing again"
        case Decide(finding=finding, says=says, about=about):
            return f"{about or finding}: {says}"
        case Attach(file_path=file):
            return f"photo {file}"
        case Detach(file_path=file):
            return f"photo {file} taken out"
        case _:
            return _of_board(edit)


def _of_board(edit: Edit) -> str:
    match edit:
        case BeginBoard(board=board):
            return f"new board {board}"
        case ShowSide(board=board, side=side, photo=photo):
            return f"{board}, {side}: {photo}"
        case Register(board=board, side=side):
            return f"photo of {board}, {side}, laid on the board"
        case OutlineBoard(board=board):
            return f"outline of {board}"
        case Traced(board=board):
            return f"{board} traced from its photos"
        case Stroke(says=says, side=side):
            return f"{says} stroke on the {side}"
        case Unstroke(number=number, side=side):
            return f"stroke {number + 1} on the {side} removed"
        case Place(reference=reference, package=package):
            return f"{reference} placed as {package}"
        case Unplace(reference=reference):
            return f"{reference} taken off the board"
        case PutHole(diameter_mm=diameter):
            return f"hole of {diameter:g} mm"
        case DropHole(number=number):
            return f"hole {number + 1} removed"
        case Beep(first=first, second=second, joined=joined):
            return f"{first} to {second}: {'beep' if joined else 'no beep'}"
        case Unbeep(number=number):
            return f"beep {number + 1} removed"
        case Wire(first=first, second=second):
            return f"wire from {first} to {second}"
        case Unwire(number=number):
            return f"wire {number + 1} removed"
        case NameNet(pin=pin, net=net):
            return f"net at {pin}: {net}" if net else f"net at {pin} without a name"
        case _:
            raise AssertionError(f"an edit without words: {edit!r}")


def _row(path: Path) -> str:
    """Row or entry in words: its name, or its list and position."""
    last = path[-1] if path else ""
    if isinstance(last, int):
        return f"entry of {_row(path[:-1])}" if last < 0 else f"entry {last + 1} of {_row(path[:-1])}"
    return str(last)


def _place(path: Path) -> str:
    if len(path) < 2:
        return _row(path)
    return f"{_row(path[:-1])}: {_row(path[-1:])}"


def _shown(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value) if isinstance(value, (str, int, float)) else ""


def _short(text: str) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= _LONGEST else f"{flat[: _LONGEST - 1]}…"
