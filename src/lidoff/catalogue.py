"""The one door by which open families find their members.

Kinds of part, blocks, claims, hazard checks and decoders of markings are open families: each module of the family's
folder lists its own members in ``MEMBERS``, and packages of others add theirs under an entry-point group of the family's name.
"""

from __future__ import annotations

import importlib
import importlib.metadata
import pkgutil
from collections.abc import Mapping
from types import MappingProxyType, ModuleType
from typing import Protocol, TypeVar

__all__ = ["catalogue"]


class _Named(Protocol):
    @property
    def name(self) -> str: ...


_Member = TypeVar("_Member", bound=_Named)


def catalogue(family: ModuleType, *, of: type[_Member]) -> Mapping[str, _Member]:
    """Members of an open family by name, sorted and read-only.

    Parameters
    ----------
    family : module
        The package whose modules list ``MEMBERS``; its dotted name is the entry-point group for members from outside.
    of : type
        What every member must be.

    Returns
    -------
    mapping of str to member
        Sorted by name.

    Raises
    ------
    TypeError
        A module has no ``MEMBERS``, a member is of the wrong type, or a name is taken; names the files.
    """
    found: dict[str, tuple[_Member, str]] = {}
    for member, origin in (*_own_members(family), *_outside_members(family)):
        if not isinstance(member, of):
            raise TypeError(f"{origin}: {member!r} is not a {of.__name__}")
        if member.name in found:
            raise TypeError(f"{origin}: the name {member.name!r} is taken by {found[member.name][1]}")
        found[member.name] = (member, origin)
    return MappingProxyType({name: found[name][0] for name in sorted(found)})


def _own_members(family: ModuleType) -> list[tuple[object, str]]:
    members: list[tuple[object, str]] = []
    for info in sorted(pkgutil.iter_modules(family.__path__), key=lambda info: info.name):
        module = importlib.import_module(f"{family.__name__}.{info.name}")
        members.extend(_listed(module, module.__name__))
    return members


def _outside_members(family: ModuleType) -> list[tuple[object, str]]:
    members: list[tuple[object, str]] = []
    for point in sorted(
        importlib.metadata.entry_points(group=family.__name__), key=lambda point: (point.name, point.value)
    ):
        members.extend(_listed(point.load(), point.value))
    return members


def _listed(module: object, origin: str) -> list[tuple[object, str]]:
    listed = getattr(module, "MEMBERS", None)
    if not isinstance(listed, tuple):
        raise TypeError(f"{origin}: has no tuple MEMBERS")
    return [(member, origin) for member in listed]
