"""What a marking may mean, as values."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from lidoff.quantities import Quantity

__all__ = ["Fact", "Limits", "Meaning", "Reading"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Least and greatest value that the marking allows.

    Parameters
    ----------
    low, high : float
        In the unit of the value they belong to.
    printed : str
        The tolerance as a reader would write it, such as ``"±5 %"``.
    """

    low: float
    high: float
    printed: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One further thing that goes with a reading: a rated voltage, a length, a meaning of a letter.

    Parameters
    ----------
    name : str
        What it is, such as ``"rated voltage"``.
    text : str
        What it says in words; empty where the value says all.
    value : Quantity, optional
        The number with its unit.
    typical : bool
        True where the marking does not say it and most makers do it so.
    """

    name: str
    text: str = ""
    value: Quantity | None = None
    typical: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """One way in which one decoder reads a marking.

    Parameters
    ----------
    what : str
        What the thing would be, such as ``"resistor"``, ``"capacitor"`` or ``"chip size"``.
    how : str
        How it was read, such as ``"47 × 10² Ω"``.
    says : str
        What it says where there is no single value, such as the name of a part; else empty.
    value : Quantity, optional
        The value in SI units.
    limits : Limits, optional
        Where the marking states a tolerance; None where it does not.
    plausibility : float
        From 0 to 1, for ranking only; common practice, no source.
    facts : tuple of Fact
        What else the marking says.
    doubts : tuple of str
        What speaks against this reading.
    from_memory : bool
        True where a table entry it rests on was recalled and not read in a source.
    in_series : bool
        True where the value is expected to be a preferred number.
    source : str
        Where it differs from the decoder's own source; else empty.
    begins : date, optional
        First day of the time that it tells, if it tells one.
    """

    what: str
    how: str
    says: str = ""
    value: Quantity | None = None
    limits: Limits | None = None
    plausibility: float = 0.5
    facts: tuple[Fact, ...] = ()
    doubts: tuple[str, ...] = ()
    from_memory: bool = False
    in_series: bool = False
    source: str = ""
    begins: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """One thing that a marking may mean, with the decoder that says so.

    Parameters
    ----------
    marking : str
        The text that was read.
    what : str
        What the thing would be, such as ``"resistor"``, ``"capacitor"`` or ``"chip size"``.
    says : str
        What it says where there is no single value; else empty.
    value : Quantity, optional
        The value in SI units.
    limits : Limits, optional
        Least and greatest value where the marking states a tolerance.
    series : str
        Coarsest E series that holds the value; empty where none does or none applies.
    how : str
        How it was read.
    decoder, title : str
        Name and plain title of the decoder.
    source : str
        Standard or table that the reading follows.
    from_memory : bool
        True where the rule or a table entry was recalled and not read in a source.
    plausibility : float
        From 0 to 1; it orders the meanings and is no probability.
    facts : tuple of Fact
        What else the marking says.
    doubts : tuple of str
        What speaks against this meaning.
    """

    marking: str
    what: str
    says: str
    value: Quantity | None
    limits: Limits | None
    series: str
    how: str
    decoder: str
    title: str
    source: str
    from_memory: bool
    plausibility: float
    facts: tuple[Fact, ...]
    doubts: tuple[str, ...]
