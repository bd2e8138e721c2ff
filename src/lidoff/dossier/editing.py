"""From one state of a dossier's texts to the next by an edit."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from lidoff.dossier.board_edits import OfBoard, edited_board, new_board
from lidoff.dossier.board_files import board_file, board_in, board_name, board_text, plain_text
from lidoff.dossier.board_removal import removed_with_board
from lidoff.dossier.documents import Documents
from lidoff.dossier.edits import (
    Add,
    Attach,
    BeginBoard,
    Decide,
    Detach,
    Edit,
    Move,
    NameNet,
    OutlineBoard,
    Pin,
    Remove,
    Rename,
    Set,
    Several,
    Traced,
    Unpin,
)
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.net_naming import net_named, net_renamed
from lidoff.dossier.plain_edits import AddAt, MoveAt, Operation, Path, RemoveAt, SetAt, changed
from lidoff.dossier.renaming import board_renamed, renaming
from lidoff.dossier.titles import title_of
from lidoff.dossier.toml_edits import changed_text
from lidoff.dossier.touched_places import changed_place, place_on_board
from lidoff.dossier.traced import board_from_text
from lidoff.errors import DossierError, ImpossibleValue, UnknownName, located
from lidoff.evidence import read_text

if TYPE_CHECKING:
    from lidoff.board import Board

__all__ = ["EVERYTHING", "Edited", "apply", "name_of_file", "overlap"]

EVERYTHING: Path = ()
"""Touch of an edit that may reach any place."""
DECISIONS = "decisions"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edited:
    """What an edit made of a dossier.

    Attributes
    ----------
    documents : mapping of str to str
        Texts after it.
    title : str
        What was done, in a few words.
    touches : tuple of tuple of str or int
        Places changed: ``dossier`` or ``boards/NAME``, then keys.
    """

    documents: Documents
    title: str
    touches: tuple[Path, ...]


def name_of_file(file: str) -> str:
    """Name by which edits call a file of the folder: ``dossier`` or ``boards/NAME``."""
    return "dossier" if file == FILE_NAME else file.removesuffix(".json")


def overlap(one: Path, other: Path) -> bool:
    """Whether two places are one, or one lies inside the other."""
    shared = min(len(one), len(other))
    return one[:shared] == other[:shared]


def apply(documents: Documents, edit: Edit) -> Edited:
    """State of a dossier after an edit.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of ``dossier.toml`` and ``boards/*.json``; left as they are.
    edit : Edit
        What to do.

    Returns
    -------
    Edited
        Comments and layout of ``dossier.toml`` are kept.

    Raises
    ------
    UnknownName, ImpossibleValue, DossierError
        The edit cannot be done; nothing of it is done then.
    """
    texts = dict(documents)
    touches: list[Path] = []
    for one in _single(edit):
        with located(edit.title or title_of(one)):
            touches.extend(_done(texts, one))
    title = edit.title or title_of(edit)
    return Edited(documents=MappingProxyType(texts), title=title, touches=tuple(dict.fromkeys(touches)))


def _single(edit: Edit, depth: int = 0) -> Iterator[Edit]:
    if not isinstance(edit, Several):
        yield edit
        return
    if depth > 4 or not edit.edits:
        raise ImpossibleValue(
            "a step without edits, or of steps inside steps", remedy="list the edits one by one"
        )
    for one in edit.edits:
        yield from _single(one, depth + 1)


def _done(texts: dict[str, str], edit: Edit) -> tuple[Path, ...]:
    """Do one edit on the texts; places that it changed."""
    if isinstance(edit, (Set, Add, Remove, Move)):
        operation = _operation(edit)
        file = FILE_NAME if edit.file == "dossier" else board_file(edit.file.removeprefix("boards/"))
        if edit.file != "dossier" and not edit.file.startswith("boards/"):
            raise UnknownName(
                f"{edit.file!r} is no file of edits", name=edit.file, known=["dossier", "boards/NAME"]
            )
        if file == FILE_NAME and isinstance(operation, RemoveAt) and operation.path[:-1] == ("boards",):
            return _remove_board(texts, str(operation.path[-1]))
        if file == FILE_NAME:
            _check_new_part(texts, operation)
        _operate(texts, file, operation)
        if isinstance(operation, RemoveAt) and file == FILE_NAME and operation.path[:1] == ("parts",):
            _unpin_removed(texts)
        return ((edit.file, *changed_place(file, operation)),)
    if isinstance(edit, NameNet) or (isinstance(edit, Rename) and edit.what == "net"):
        return _name_net(texts, edit)
    if isinstance(edit, Rename):
        return _rename(texts, edit)
    if isinstance(edit, (Pin, Unpin)):
        return _pin(texts, edit)
    if isinstance(edit, Decide):
        return _decide(texts, edit)
    if isinstance(edit, (Attach, Detach)):
        return _photo(texts, edit)
    if isinstance(edit, BeginBoard):
        return _begin_board(texts, edit)
    if isinstance(edit, Several):
        raise AssertionError("steps are parted before they are done")
    board = edited_board(_board(texts, edit), edit)
    texts[board_file(edit.board)] = board_text(board)
    return ((f"boards/{edit.board}", *place_on_board(edit)),)


def _check_new_part(texts: Mapping[str, str], operation: Operation) -> None:
    """Refuse a new part whose name cannot be a reference; parts that are there stay whatever they are called."""
    if not isinstance(operation, (AddAt, SetAt)) or len(operation.path) != 2 or operation.path[0] != "parts":
        return
    from lidoff.circuit import check_reference

    rows, reference = _document(texts).get("parts", {}), str(operation.path[1])
    if not isinstance(rows, Mapping) or reference not in rows:
        check_reference(reference)


def _board(texts: Mapping[str, str], edit: OfBoard) -> Board:
    """Board that an edit is about; one that the dossier names and that has no file yet begins by its size."""
    file = board_file(edit.board)
    rows = _document(texts).get("boards", {}) if file not in texts else {}
    row = rows.get(edit.board) if isinstance(rows, Mapping) else None
    if file in texts or not isinstance(row, Mapping):
        return board_from_text(texts[file], file) if file in texts else board_in(texts, edit.board)
    from lidoff.board import Board

    if isinstance(edit, (Traced, OutlineBoard)):
        return Board(name=edit.board, outline=())
    width, height = (str(row.get(name, "")) for name in ("width", "height"))
    if not width or not height:
        raise ImpossibleValue(
            f"the board {edit.board!r} has no outline yet",
            remedy="give its width and height, draw its outline, or trace it from its photos",
        )
    size = tuple(read_text(text, "m").value * 1e3 for text in (width, height))
    return new_board(BeginBoard(board=edit.board, size_mm=(size[0], size[1])))


def _operation(edit: Set | Add | Remove | Move) -> Operation:
    path = tuple(edit.path)
    if isinstance(edit, Set):
        return RemoveAt(path=path) if edit.value is None else SetAt(path=path, value=edit.value)
    if isinstance(edit, Add):
        return AddAt(path=path, value=edit.value, before=edit.before)
    return RemoveAt(path=path) if isinstance(edit, Remove) else MoveAt(path=path, to=edit.to)


def _operate(texts: dict[str, str], file: str, operation: Operation) -> None:
    if file not in texts:
        known = [name_of_file(one) for one in texts]
        raise UnknownName(f"there is no {name_of_file(file)}", name=name_of_file(file), known=known)
    if file == FILE_NAME:
        texts[file] = changed_text(texts[file], operation)
        return
    from lidoff.board import board_from_dict

    try:
        data = json.loads(texts[file])
    except (ValueError, RecursionError) as error:
        raise DossierError(f"{file} is not JSON ({error})", remedy="mend it by hand") from None
    board_from_dict(changed(data, operation))
    texts[file] = plain_text(changed(data, operation))


def _document(texts: Mapping[str, str]) -> dict[str, object]:
    if FILE_NAME not in texts:
        raise DossierError(f"there is no {FILE_NAME} yet", remedy="begin the dossier first")
    return tomllib.loads(texts[FILE_NAME])


def _name_net(texts: dict[str, str], edit: NameNet | Rename) -> tuple[Path, ...]:
    if isinstance(edit, NameNet) and board_file(edit.board) not in texts:
        board_in(texts, edit.board)
    document = _document(texts) if FILE_NAME in texts or isinstance(edit, Rename) else {}
    boards = [board_from_text(text, file) for file, text in texts.items() if board_name(file)]
    naming = (
        net_named(document, boards, edit)
        if isinstance(edit, NameNet)
        else net_renamed(document, boards, edit)
    )
    for operation in naming.operations:
        texts[FILE_NAME] = changed_text(texts[FILE_NAME], operation)
    texts.update({board_file(name): board_text(board) for name, board in naming.boards.items()})
    if any(not isinstance(one, AddAt) for one in naming.operations) or isinstance(edit, Rename):
        return (EVERYTHING,)
    added = tuple(("dossier", *one.path) for one in naming.operations)
    return (*added, *((f"boards/{name}", "net_names", edit.pin) for name in naming.boards))


def _rename(texts: dict[str, str], edit: Rename) -> tuple[Path, ...]:
    boards = [name for name in map(board_name, texts) if name]
    if edit.what == "board" and edit.name in boards and edit.to in boards:
        raise ImpossibleValue(f"there is a board {edit.to!r} already", remedy="choose another name")
    for operation in renaming(_document(texts), edit):
        texts[FILE_NAME] = changed_text(texts[FILE_NAME], operation)
    for name in boards:
        before = board_in(texts, name)
        after = board_renamed(before, edit)
        if edit.what == "board" and name == edit.name:
            del texts[board_file(name)]
            texts[board_file(edit.to)] = board_text(after)
        elif after != before:
            texts[board_file(name)] = board_text(after)
    return (EVERYTHING,)


def _pin(texts: dict[str, str], edit: Pin | Unpin) -> tuple[Path, ...]:
    path = ("drawing", "pinned", edit.part)
    if isinstance(edit, Unpin):
        _operate(texts, FILE_NAME, RemoveAt(path=path))
        return (("dossier", *path),)
    parts = _document(texts).get("parts", {})
    if not isinstance(parts, Mapping) or edit.part not in parts:
        known = parts if isinstance(parts, Mapping) else ()
        raise UnknownName(f"there is no part {edit.part!r}", name=edit.part, known=known)
    place: dict[str, object] = {"x": edit.x, "y": edit.y}
    if edit.turn % 4:
        place["quarter_turns"] = edit.turn % 4
    if edit.mirrored:
        place["mirrored"] = True
    _operate(texts, FILE_NAME, SetAt(path=path, value=place))
    return (("dossier", *path),)


def _unpin_removed(texts: dict[str, str]) -> None:
    """Take parts that are no more out of what was chosen about the drawing."""
    document = _document(texts)
    drawing, parts = document.get("drawing", {}), document.get("parts", {})
    assert isinstance(drawing, Mapping)
    assert isinstance(parts, Mapping)
    for reference in set(drawing.get("pinned", {})) - set(parts):
        _operate(texts, FILE_NAME, RemoveAt(path=("drawing", "pinned", reference)))
    kept = drawing.get("keep_apart", [])
    for number in reversed(range(len(kept))):
        if kept[number] not in parts:
            _operate(texts, FILE_NAME, RemoveAt(path=("drawing", "keep_apart", number)))


def _decide(texts: dict[str, str], edit: Decide) -> tuple[Path, ...]:
    if edit.says == "dismissed" and not edit.reason.strip():
        raise ImpossibleValue("a finding is dismissed without a reason", remedy="say in a few words why")
    about: dict[str, object] = {
        name: list(getattr(edit, name))
        for name in ("parts", "nets", "claims", "readings", "situations")
        if getattr(edit, name)
    }
    rows = _document(texts).get(DECISIONS, {})
    assert isinstance(rows, Mapping)
    for name, row in rows.items():
        said = {key: value for key, value in row.items() if key not in ("says", "reason")}
        if said == {"finding": edit.finding, **about}:
            _operate(texts, FILE_NAME, RemoveAt(path=(DECISIONS, name)))
            break
    else:
        if edit.says == "open":
            raise UnknownName("nothing was said of this finding", remedy="it is open already")
        name = next(f"d{n}" for n in range(1, len(rows) + 2) if f"d{n}" not in rows)
    if edit.says != "open":
        row = {"finding": edit.finding, **about, "says": edit.says}
        if edit.reason.strip():
            row["reason"] = edit.reason
        _operate(texts, FILE_NAME, AddAt(path=(DECISIONS, name), value=row))
    return (("dossier", DECISIONS, name),)


def _photo(texts: dict[str, str], edit: Attach | Detach) -> tuple[Path, ...]:
    rows = _document(texts).get("photos", [])
    assert isinstance(rows, list)
    files = [row.get("file") for row in rows]
    if isinstance(edit, Detach):
        if edit.file_path not in files:
            raise UnknownName(f"{edit.file_path} is not among the photos", name=edit.file_path, known=files)
        _operate(texts, FILE_NAME, RemoveAt(path=("photos", files.index(edit.file_path))))
        return (("dossier", "photos"),)
    if edit.file_path in files:
        raise ImpossibleValue(f"{edit.file_path} is among the photos already", remedy="change its row")
    row: dict[str, object] = {"file": edit.file_path}
    row.update({name: getattr(edit, name) for name in ("board", "side", "caption") if getattr(edit, name)})
    _operate(texts, FILE_NAME, AddAt(path=("photos", -1), value=row))
    # A photo more at the end conflicts with no other: two people may send some at once.
    return (("dossier", "photos", edit.file_path),)


def _remove_board(texts: dict[str, str], name: str) -> tuple[Path, ...]:
    """Take a board away with its file; its photos stay, and show none."""
    placed = {
        board: [part.reference for part in board_in(texts, board).parts]
        for board in map(board_name, texts)
        if board
    }
    for operation in removed_with_board(_document(texts), name, placed):
        _operate(texts, FILE_NAME, operation)
    texts.pop(board_file(name), None)
    _unpin_removed(texts)
    return (EVERYTHING,)


def _begin_board(texts: dict[str, str], edit: BeginBoard) -> tuple[Path, ...]:
    file = board_file(edit.board)
    if file in texts:
        raise ImpossibleValue(f"there is a board {edit.board!r} already", remedy="choose another name")
    texts[file] = board_text(new_board(edit))
    rows = _document(texts).get("boards", {})
    if not isinstance(rows, Mapping) or edit.board not in rows:
        row: dict[str, object] = {"title": edit.caption or edit.board}
        if edit.size_mm is not None:
            row.update(
                {
                    name: f"{length:g} mm"
                    for name, length in zip(("width", "height"), edit.size_mm, strict=True)
                }
            )
        _operate(texts, FILE_NAME, AddAt(path=("boards", edit.board), value=row))
    return (("dossier", "boards", edit.board), (f"boards/{edit.board}",))
