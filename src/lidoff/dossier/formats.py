"""Versions of the dossier's format: what a file of an older one says in the newest, with its comments and layout kept.

Each step leads from one version to the next as operations on the file's plain data, so that the same step serves reading (the
data are changed, the file is not) and rewriting (the text is changed where the keys stand).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import Any

from lidoff.dossier.lines import line_of, lines_of_keys
from lidoff.dossier.plain_edits import Operation, Path, RenameAt, SetAt, changed
from lidoff.dossier.toml_edits import changed_text
from lidoff.dossier.toml_reading import toml_data
from lidoff.errors import DossierError

__all__ = ["NEWEST", "STEPS", "Forward", "Step", "forward", "forward_text", "is_older"]

NEWEST = 2
"""Version that is written, and the last one that can be read."""
_LEFT_OUT = 1  # the only version in which a file need not say its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What leads from one version to the next.

    Attributes
    ----------
    says : str
        What is different, and why, in a sentence.
    operations : callable (mapping) → iterator of Operation
        What to do to a file's plain data, in order.
    """

    says: str
    operations: Callable[[Mapping[str, Any]], Iterator[Operation]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Forward:
    """A file's plain data in the newest version.

    Attributes
    ----------
    document : dict
        Plain data.
    written_in : int
        Version that the file itself is in.
    renamed : tuple of tuple of Path
        Pairs of paths, as they are now and as they stand in the file.
    """

    document: dict[str, Any]
    written_in: int
    renamed: tuple[tuple[Path, Path], ...] = ()


def _to_2(document: Mapping[str, Any]) -> Iterator[Operation]:
    if "light" in document and "lights" not in document:
        yield RenameAt(path=("light",), to="lights")
    yield SetAt(path=("format",), value=2)


STEPS: Mapping[int, Step] = MappingProxyType(
    {
        1: Step(
            says=(
                "`[light.NAME]` is called `[lights.NAME]`, as all other tables of named rows have their name in the plural; "
                "`format` is a number and must be there, since with two versions a file has to say which one it is in"
            ),
            operations=_to_2,
        )
    }
)
"""By version: the step that leads on from it."""


def forward(text: str, name: str) -> Forward:
    """Plain data of a file, in the newest version.

    Parameters
    ----------
    text : str
        TOML, of any version so far.
    name : str
        The file's name, for errors.

    Returns
    -------
    Forward
        The text itself is left as it is.

    Raises
    ------
    DossierError
        It is no TOML, or in a version that is not known.
    """
    document = toml_data(text, name)
    written_in = _version(document, text, name)
    renamed: list[tuple[Path, Path]] = []
    for version in range(written_in, NEWEST):
        for operation in tuple(STEPS[version].operations(document)):
            if isinstance(operation, RenameAt):
                renamed.append(((*operation.path[:-1], operation.to), operation.path))
            document = changed(document, operation)  # type: ignore[assignment]
    return Forward(document=document, written_in=written_in, renamed=tuple(reversed(renamed)))


def forward_text(text: str, name: str) -> str:
    """Text of a file in the newest version; comments and layout stay.

    Parameters
    ----------
    text : str
        TOML, of any version so far.
    name : str
        The file's name, for errors.

    Returns
    -------
    str
        The same text where it is in the newest version already.

    Raises
    ------
    DossierError
        As for `forward`.
    """
    for version in range(_version(toml_data(text, name), text, name), NEWEST):
        for operation in tuple(STEPS[version].operations(toml_data(text, name))):
            text = changed_text(text, operation)
    return text


@lru_cache(maxsize=4)  # asked before each edit, of a text that seldom is another one
def is_older(text: str) -> bool:
    """Whether a text is in an older version than the newest; one that cannot be read is not.

    Parameters
    ----------
    text : str
        Of a ``dossier.toml``.

    Returns
    -------
    bool
        False too for a version that is not known.
    """
    try:
        return _version(toml_data(text, ""), text, "") < NEWEST
    except DossierError:
        return False


def _version(document: Mapping[str, Any], text: str, name: str) -> int:
    """Version that a file says it is in.

    Raises
    ------
    DossierError
        It is newer than the newest known one, or is no version.
    """
    given = document.get("format", str(_LEFT_OUT))
    where = f"{name}, line {line_of(('format',), lines_of_keys(text))}, format"
    number = int(given) if isinstance(given, str) and given.isascii() and given.isdecimal() else given
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise DossierError(
            f"format = {given!r} is no version of the dossier's format",
            where=where,
            remedy=f"write format = {NEWEST}",
        )
    if number > NEWEST:
        raise DossierError(
            f"the dossier is in format {number}, and this lidoff reads formats up to {NEWEST}",
            where=where,
            remedy="open it with a newer lidoff; nothing was changed",
        )
    if isinstance(given, str) != (number == 1):
        raise DossierError(
            f"format = {given!r} is no version of the dossier's format",
            where=where,
            remedy=f'write format = {NEWEST} without quotation marks (only the old format = "1" had them)',
        )
    return number
