"""The two pins between which a part's main current flows."""

from __future__ import annotations

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Part
from lidoff.errors import UnknownName

__all__ = ["has_path", "path_of"]


def has_path(part: Part) -> bool:
    """Whether the part has a main current path with both pins in use."""
    path = kind_of(part).path
    return len(path) == 2 and all(pin in part.pins for pin in path)


def path_of(part: Part) -> tuple[str, str]:
    """First and second pin of the part's main current path.

    Raises
    ------
    UnknownName
        It has none, or one of its pins is not in use.
    """
    if not has_path(part):
        raise UnknownName(
            f"{part.reference} ({part.kind}) has no single current path",
            remedy="ask for the current of one of its pins",
        )
    first, second = kind_of(part).path
    return first, second
