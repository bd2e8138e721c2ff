"""Situations in prose: whoever writes a sentence knows a situation's name, whoever gathers the sentences knows its title."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, replace
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

    Told = TypeVar("Told", bound=DataclassInstance)

__all__ = ["prose_with_titles", "titled", "with_titles"]

_BEGINS, _ENDS = "\ue000", "\ue001"  # private to whoever uses them: nobody types these
_MARK = re.compile(f"{_BEGINS}([^{_BEGINS}{_ENDS}]*){_ENDS}")


def titled(name: str) -> str:
    """Mark in prose that stands for a situation, until its title is put there.

    Parameters
    ----------
    name : str
        Of the situation.

    Returns
    -------
    str
        For `with_titles`.
    """
    return f"{_BEGINS}{name}{_ENDS}"


def with_titles(text: str, titles: Mapping[str, str]) -> str:
    """Text with the title of each situation marked in it, in quotation marks; with its name where it has no title.

    Parameters
    ----------
    text : str
        With marks of `titled`.
    titles : mapping of str to str
        By name; empty or missing for a situation without a title.

    Returns
    -------
    str
        For a reader.

    Examples
    --------
    >>> text = f"Q1 warms in {titled('fan_held')}, not in {titled('on_idle')}."
    >>> with_titles(text, {"fan_held": "the fan held", "on_idle": ""})
    'Q1 warms in “the fan held”, not in on idle.'
    """

    def told(mark: re.Match[str]) -> str:
        name = mark.group(1)
        title = titles.get(name, "")
        return f"“{title}”" if title else name.replace("_", " ")

    return _MARK.sub(told, text)


def prose_with_titles(told: Told, titles: Mapping[str, str]) -> Told:
    """The same value, with titles of situations in all of its prose.

    Parameters
    ----------
    told : dataclass
        Texts, and tuples of texts, are looked through; names hold no marks.
    titles : mapping of str to str
        As for `with_titles`.

    Returns
    -------
    dataclass
        Of the same class.
    """
    changed: dict[str, object] = {}
    for field in fields(told):
        value = getattr(told, field.name)
        if isinstance(value, str):
            changed[field.name] = with_titles(value, titles)
        elif isinstance(value, tuple) and all(isinstance(one, str) for one in value):
            changed[field.name] = tuple(with_titles(one, titles) for one in value)
    return replace(told, **changed)
