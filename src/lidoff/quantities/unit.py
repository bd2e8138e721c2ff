"""What one row of the table of units tells, and the SI prefixes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from types import MappingProxyType

__all__ = ["PREFIXES", "Other", "Unit"]

PREFIXES: Mapping[str, Decimal] = MappingProxyType(
    {
        "f": Decimal("1e-15"),
        "p": Decimal("1e-12"),
        "n": Decimal("1e-9"),
        "µ": Decimal("1e-6"),
        "m": Decimal("1e-3"),
        "": Decimal(1),
        "k": Decimal("1e3"),
        "M": Decimal("1e6"),
        "G": Decimal("1e9"),
        "T": Decimal("1e12"),
    }
)


@dataclass(frozen=True, slots=True)
class Other:
    """Another way to write a unit, with its own factor to the kept unit.

    Parameters
    ----------
    spellings : str
        Spellings, separated by spaces.
    factor : str
        How many kept units one of these is, as decimal text.
    prefixes : str
        The SI prefixes it takes, one letter each.
    offset : str
        Added after the factor, as decimal text; for scales with another zero.
    """

    spellings: str
    factor: str
    prefixes: str = ""
    offset: str = "0"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit that quantities are kept in.

    Parameters
    ----------
    symbol : str
        The symbol that quantities carry.
    dimension : str
        What it measures, as a person says it; units of one dimension convert into each other.
    size : str
        The unit in the SI unit of its dimension, as decimal text.
    prefixes : str
        SI prefixes the symbol and its words take, in text and (unless `shown` says otherwise) when shown.
    words : str
        Words for the unit, separated by spaces; written with any capitals, and with prefix words.
    others : tuple of Other
        Further spellings with their own factor.
    loose : str
        Spellings that are accepted only where this unit is expected, because alone they mean something else.
    shown : tuple of (str, float)
        Spelling for people and the magnitude from which it is used, in kept units; empty for the symbol
        with its prefixes.
    bare_prefix : bool
        Whether a number with only a prefix ("100n") is accepted where this unit is expected.
    label_capitals : bool
        Whether labels shout the prefix milli as a capital ("2000MAH"); common practice, no source.
    """

    symbol: str
    dimension: str
    size: str = "1"
    prefixes: str = ""
    words: str = ""
    others: tuple[Other, ...] = ()
    loose: str = ""
    shown: tuple[tuple[str, float], ...] = ()
    bare_prefix: bool = False
    label_capitals: bool = False
