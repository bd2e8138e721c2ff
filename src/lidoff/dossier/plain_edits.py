"""One change of plain data at a path: what every edit of a dossier comes down to."""

from __future__ import annotations

import copy
import math
from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.errors import ImpossibleValue, UnknownName

__all__ = ["AddAt", "MoveAt", "Operation", "Path", "RemoveAt", "RenameAt", "SetAt", "changed", "path_text"]

Path = tuple[str | int, ...]
"""Keys of tables and positions in lists, from the top."""

DEEPEST = 12
"""Deepest nesting of a value."""
LONGEST = 200_000
"""Longest text, in characters: a dossier's file as a whole may have no more than a few megabytes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAt:
    """A value is put at a path, over what stands there; tables on the way are made."""

    path: Path
    value: object


@dataclass(frozen=True, slots=True, kw_only=True)
class AddAt:
    """A new row or list entry; a table's row stands before the row `before`, or last."""

    path: Path
    value: object
    before: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RemoveAt:
    """What stands at a path goes."""

    path: Path


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveAt:
    """A row or list entry takes another place among its siblings, counted without itself."""

    path: Path
    to: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RenameAt:
    """The last key of a path becomes another."""

    path: Path
    to: str


Operation = SetAt | AddAt | RemoveAt | MoveAt | RenameAt


def path_text(path: Path) -> str:
    """Path as a person reads it, such as ``parts.R3.resistance``."""
    return ".".join(str(key) for key in path) or "the file"


def changed(data: object, operation: Operation) -> object:
    """Plain data after one operation.

    Parameters
    ----------
    data : object
        Tables, lists, texts, numbers and truth values; left as it is.
    operation : Operation
        What to do.

    Returns
    -------
    object
        New data.

    Raises
    ------
    UnknownName, ImpossibleValue
        The path leads nowhere, the name is taken, or the value cannot stand in a file.
    """
    result = copy.deepcopy(data)
    if not operation.path:
        raise ImpossibleValue("an edit must name a place inside the file", remedy="give a path")
    if isinstance(operation, (SetAt, AddAt)):
        check_value(operation.value)
    parent = _parent(result, operation.path, make=isinstance(operation, (SetAt, AddAt)))
    if isinstance(operation, SetAt):
        _set(parent, operation)
    elif isinstance(operation, AddAt):
        _add(parent, operation)
    elif isinstance(operation, RemoveAt):
        _present(parent, operation.path)
        del parent[operation.path[-1]]  # type: ignore[arg-type]
    elif isinstance(operation, MoveAt):
        _move(parent, operation)
    else:
        _rename(parent, operation)
    return result


def check_value(value: object, depth: int = 0) -> None:
    """Refuse what cannot stand in a dossier's file.

    Raises
    ------
    ImpossibleValue
        Nothing, a number that is not finite, an empty key, a text too long, or nesting too deep.
    """
    if depth > DEEPEST:
        raise ImpossibleValue(
            f"the value is nested more than {DEEPEST} deep", remedy="split it into rows of its own"
        )
    if isinstance(value, dict):
        for name, entry in value.items():
            if not isinstance(name, str) or not name:
                raise ImpossibleValue(f"{name!r} cannot be a key", remedy="give every key a name")
            _check_text(name)
            check_value(entry, depth + 1)
    elif isinstance(value, (list, tuple)):
        for entry in value:
            check_value(entry, depth + 1)
    elif isinstance(value, str):
        _check_text(value)
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise ImpossibleValue(f"{value} is not a finite number", remedy="give a number")
    elif isinstance(value, int):
        if abs(value) >= 2**63:
            raise ImpossibleValue(f"{value} is too large a number for the file", remedy="write it as a text")
    else:
        raise ImpossibleValue(
            f"{value!r} cannot stand in the file",
            remedy="give a text, a number, true, false, a list or a table",
        )


def _check_text(text: str) -> None:
    if len(text) > LONGEST:
        raise ImpossibleValue(
            f"the text has {len(text)} characters, more than {LONGEST}", remedy="put it into a file beside"
        )
    try:
        text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise ImpossibleValue(
            f"{text[error.start]!r} cannot be written as UTF-8", remedy="remove that character"
        ) from None


def _parent(data: object, path: Path, *, make: bool) -> dict[str, object] | list[object]:
    """Table or list that holds the last step of a path."""
    here = data
    for number, key in enumerate(path[:-1]):
        if isinstance(here, dict) and isinstance(key, str):
            if key not in here:
                if not make:
                    raise UnknownName(
                        f"there is no {path_text(path[: number + 1])}", name=key, known=map(str, here)
                    )
                here[key] = [] if isinstance(path[number + 1], int) else {}
            here = here[key]
        elif isinstance(here, list) and isinstance(key, int):
            if not 0 <= key < len(here):
                raise ImpossibleValue(
                    f"{path_text(path[:number])} has no entry {key}", remedy=f"it has {len(here)}, from 0"
                )
            here = here[key]
        else:
            raise ImpossibleValue(
                f"{path_text(path[:number])} has nothing called {key!r} in it",
                remedy="name a table's row by its key and a list's entry by its position",
            )
    if isinstance(here, dict) and isinstance(path[-1], str):
        return here
    if isinstance(here, list) and isinstance(path[-1], int) and not isinstance(path[-1], bool):
        return here
    raise ImpossibleValue(
        f"{path_text(path[:-1])} has nothing called {path[-1]!r} in it",
        remedy="name a table's row by its key and a list's entry by its position",
    )


def _present(parent: dict[str, object] | list[object], path: Path) -> None:
    key = path[-1]
    if isinstance(parent, dict):
        if key not in parent:
            raise UnknownName(f"there is no {path_text(path)}", name=str(key), known=parent)
    elif not isinstance(key, int) or not 0 <= key < len(parent):
        raise ImpossibleValue(
            f"{path_text(path[:-1])} has no entry {key}", remedy=f"it has {len(parent)}, from 0"
        )


def _set(parent: dict[str, object] | list[object], operation: SetAt) -> None:
    if isinstance(parent, list):
        _present(parent, operation.path)
    parent[operation.path[-1]] = copy.deepcopy(operation.value)  # type: ignore[index]


def _add(parent: dict[str, object] | list[object], operation: AddAt) -> None:
    key = operation.path[-1]
    value = copy.deepcopy(operation.value)
    if isinstance(parent, list):
        assert isinstance(key, int)
        if not -1 <= key <= len(parent):
            raise ImpossibleValue(
                f"{path_text(operation.path[:-1])} has no place {key}",
                remedy=f"0 to {len(parent)}, or -1 for the end",
            )
        parent.insert(len(parent) if key == -1 else key, value)
        return
    assert isinstance(key, str)
    if not key.strip():
        raise ImpossibleValue("the new row has no name", remedy="give it one")
    if key in parent:
        raise ImpossibleValue(
            f"there is a {path_text(operation.path)} already",
            remedy="choose another name, or change that one",
        )
    if operation.before and operation.before not in parent:
        raise UnknownName(
            f"there is no {operation.before!r} to stand before", name=operation.before, known=parent
        )
    parent[key] = value
    if operation.before:
        _order(parent, [*_without(parent, key, operation.before)])


def _without(parent: dict[str, object], key: str, before: str) -> Sequence[str]:
    names = [name for name in parent if name != key]
    names.insert(names.index(before), key)
    return names


def _order(parent: dict[str, object], names: Sequence[str]) -> None:
    held = dict(parent)
    parent.clear()
    parent.update((name, held[name]) for name in names)


def _move(parent: dict[str, object] | list[object], operation: MoveAt) -> None:
    _present(parent, operation.path)
    if not 0 <= operation.to < len(parent):
        raise ImpossibleValue(
            f"{path_text(operation.path[:-1])} has no place {operation.to}", remedy=f"0 to {len(parent) - 1}"
        )
    key = operation.path[-1]
    if isinstance(parent, list):
        assert isinstance(key, int)
        parent.insert(operation.to, parent.pop(key))
        return
    names = [name for name in parent if name != key]
    names.insert(operation.to, str(key))
    _order(parent, names)


def _rename(parent: dict[str, object] | list[object], operation: RenameAt) -> None:
    _present(parent, operation.path)
    if isinstance(parent, list):
        raise ImpossibleValue("an entry of a list has no name", remedy="move it, or change it")
    if not operation.to.strip():
        raise ImpossibleValue("the new name is empty", remedy="give one")
    _check_text(operation.to)
    if operation.to in parent:
        raise ImpossibleValue(
            f"there is a {path_text((*operation.path[:-1], operation.to))} already",
            remedy="choose another name",
        )
    held = dict(parent)
    parent.clear()
    parent.update(
        (operation.to if name == operation.path[-1] else name, value) for name, value in held.items()
    )
