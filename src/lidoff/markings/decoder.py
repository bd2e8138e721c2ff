"""What every decoder of markings must tell about itself, and the door that finds them all."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.markings.meaning import Reading

__all__ = ["Decoder", "all_decoders"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Decoder:
    """One rule by which prints on parts are read.

    Parameters
    ----------
    name : str
        Short name, lower case with underscores.
    title : str
        What the rule is, in plain words.
    about : tuple of str
        The things its readings may be, such as ``("resistor",)``.
    source : str
        Standard, table, or ``"common practice, no source"``.
    from_memory : bool
        True where the rule as a whole was recalled and not read in a source.
    example : str
        A marking that it reads.
    read : callable
        From a tidy marking to its readings; an empty tuple where the form is another's. It raises
        `ImpossibleValue` or `UnknownName` where the form is its own but the content cannot be.
    """

    name: str
    title: str
    about: tuple[str, ...]
    source: str
    from_memory: bool
    example: str
    read: Callable[[str], tuple[Reading, ...]]


@cache
def all_decoders() -> Mapping[str, Decoder]:
    """Every decoder by name, sorted, read-only; built on first use."""
    from lidoff.markings import decoders

    return catalogue(decoders, of=Decoder)
