"""Colour bands of IEC 60062: names, short forms, and what each colour stands for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from lidoff.errors import ImpossibleValue, UnknownName, nearest_name
from lidoff.markings.series import nearest_preferred
from lidoff.markings.text import decimal_value
from lidoff.markings.tolerance import Tolerance

__all__ = ["COLOURS", "BandValue", "Colour", "encode_bands", "read_bands", "split_colours"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Colour:
    """What one colour stands for, by the place of its band; None where it can't stand there.

    Parameters
    ----------
    name : str
        English name.
    short : str
        Two-letter code of IEC 60757.
    digit : int or None
        As a significant digit.
    exponent : int or None
        As a multiplier: the power of ten.
    tolerance : float or None
        As a tolerance band [%].
    drift : float or None
        As a temperature coefficient band [1e-6/K].
    recalled : str
        Which of ``"digit"``, ``"exponent"``, ``"tolerance"``, ``"drift"`` are from memory.
    """

    name: str
    short: str
    digit: int | None = None
    exponent: int | None = None
    tolerance: float | None = None
    drift: float | None = None
    recalled: str = ""


# IEC 60062, from copied tables and the worked examples named in the published checks; the 2016 edition's ±0.01 % for
# grey (older tables: ±0.05 %), pink, and half of the temperature coefficients are from memory.
_TABLE = (
    Colour(name="black", short="BK", digit=0, exponent=0, drift=250),
    Colour(name="brown", short="BN", digit=1, exponent=1, tolerance=1, drift=100),
    Colour(name="red", short="RD", digit=2, exponent=2, tolerance=2, drift=50),
    Colour(name="orange", short="OG", digit=3, exponent=3, tolerance=0.05, drift=15),
    Colour(name="yellow", short="YE", digit=4, exponent=4, tolerance=0.02, drift=25),
    Colour(name="green", short="GN", digit=5, exponent=5, tolerance=0.5, drift=20, recalled="drift"),
    Colour(name="blue", short="BU", digit=6, exponent=6, tolerance=0.25, drift=10, recalled="drift"),
    Colour(name="violet", short="VT", digit=7, exponent=7, tolerance=0.1, drift=5, recalled="drift"),
    Colour(name="grey", short="GY", digit=8, exponent=8, tolerance=0.01, drift=1, recalled="tolerance drift"),
    Colour(name="white", short="WH", digit=9, exponent=9),
    Colour(name="gold", short="GD", exponent=-1, tolerance=5),
    Colour(name="silver", short="SR", exponent=-2, tolerance=10),
    Colour(name="pink", short="PK", exponent=-3, recalled="exponent"),
)
COLOURS: Mapping[str, Colour] = MappingProxyType({colour.name: colour for colour in _TABLE})
"""Colours by name, in the order of their digits, metals last."""

NO_BAND_TOLERANCE = 20.0  # [%], three bands only (IEC 60062)

_ALIASES = {
    **{colour.short.lower(): colour.name for colour in _TABLE},
    "purple": "violet", "pu": "violet", "pur": "violet", "vi": "violet", "gray": "grey", "gry": "grey",
    "blk": "black", "br": "brown", "brn": "brown", "rd": "red", "or": "orange", "org": "orange",
    "yl": "yellow", "ylw": "yellow", "grn": "green", "blu": "blue", "wt": "white", "wht": "white",
    "gld": "gold", "sv": "silver", "sl": "silver", "slv": "silver", "sr": "silver", "ag": "silver",
    "au": "gold", "pnk": "pink",
}  # fmt: skip
_SEPARATORS = re.compile(r"[\s,;/|+.-]+")
_SHORT_BY_PAIR = {colour.short: colour.name for colour in _TABLE}


@dataclass(frozen=True, slots=True, kw_only=True)
class BandValue:
    """What a row of bands says.

    Parameters
    ----------
    digits : str
        Significant digits, two or three.
    exponent : int
        Power of ten.
    tolerance : Tolerance
        In percent; from a band, or from the absence of one.
    drift : float or None
        Temperature coefficient [1e-6/K]; None where no band tells it.
    from_memory : bool
        True where a colour's meaning at its place was recalled.
    """

    digits: str
    exponent: int
    tolerance: Tolerance
    drift: float | None
    from_memory: bool

    @property
    def value(self) -> float:
        """Value in the unit of the code: ohms for resistors, microhenries for inductors."""
        return decimal_value(self.digits, self.exponent)


def split_colours(text: str) -> tuple[str, ...] | None:
    """Colour names in a text, or None where it does not look like a row of colours.

    Parameters
    ----------
    text : str
        Names, beginnings of names or two-letter codes, set apart by blanks, commas or strokes; or the two-letter codes
        of IEC 60757 in one word.

    Returns
    -------
    tuple of str or None
        Full names in the order given.

    Raises
    ------
    UnknownName
        At least half of the words are colours and another one is not; names the nearest colour.
    ImpossibleValue
        A short form may stand for two colours.

    Examples
    --------
    >>> split_colours("rd vt bn gd")
    ('red', 'violet', 'brown', 'gold')
    """
    words = [word for word in _SEPARATORS.split(text.strip().lower()) if word]
    if len(words) == 1:
        compact = text.strip().upper()
        if len(compact) >= 6 and len(compact) % 2 == 0:
            pairs = [compact[place : place + 2] for place in range(0, len(compact), 2)]
            if all(pair in _SHORT_BY_PAIR for pair in pairs):
                return tuple(_SHORT_BY_PAIR[pair] for pair in pairs)
    candidates = [_colours_of(word) for word in words]
    if not words or sum(bool(found) for found in candidates) * 2 < len(words):
        return None
    if len(words) == 1 and words[0] != "black":
        return None
    for word, found in zip(words, candidates, strict=True):
        if not found:
            near = nearest_name(word, COLOURS)
            raise UnknownName(
                f"{word!r} in {text!r} is no colour of the code",
                name=word,
                known=COLOURS,
                remedy=f"did you mean {near!r}?" if near else "",
            )
        if len(found) > 1:
            shorts = " or ".join(f"{COLOURS[name].short.lower()} for {name}" for name in found)
            raise ImpossibleValue(
                f"{word!r} in {text!r} may be {' or '.join(found)}", remedy=f"write {shorts}"
            )
    return tuple(found[0] for found in candidates)


def _colours_of(word: str) -> tuple[str, ...]:
    if word in COLOURS:
        return (word,)
    if word in _ALIASES:
        return (_ALIASES[word],)
    if len(word) < 2:
        return ()
    return tuple(name for name in COLOURS if name.startswith(word))


def read_bands(names: tuple[str, ...]) -> BandValue:
    """Value of a row of three to six bands, read from the first to the last.

    Parameters
    ----------
    names : tuple of str
        Colour names; three and four bands carry two digits, five and six carry three.

    Returns
    -------
    BandValue
        Digits, power of ten, tolerance, and drift for six bands.

    Raises
    ------
    ImpossibleValue
        The number of bands is wrong, or a colour can't stand at its place.

    Examples
    --------
    >>> read_bands(("yellow", "violet", "red", "gold")).value
    4700.0
    """
    if not 3 <= len(names) <= 6:
        raise ImpossibleValue(
            f"{len(names)} colour bands make no value", remedy="a resistor has three to six bands"
        )
    count = 2 if len(names) <= 4 else 3
    fields = ("digit",) * count + ("exponent", "tolerance", "drift")
    found = [
        _meaning(name, field, place) for place, (name, field) in enumerate(zip(names, fields, strict=False))
    ]
    numbers = [number for number, _ in found]
    percent = numbers[count + 1] if len(names) > 3 else NO_BAND_TOLERANCE
    return BandValue(
        digits="".join(f"{number:.0f}" for number in numbers[:count]),
        exponent=int(numbers[count]),
        tolerance=Tolerance(minus=percent, plus=percent, from_memory=False),
        drift=numbers[count + 2] if len(names) == 6 else None,
        from_memory=any(recalled for _, recalled in found),
    )


def _meaning(name: str, field: str, place: int) -> tuple[float, bool]:
    colour = COLOURS[name]
    number: float | None = {
        "digit": colour.digit,
        "exponent": colour.exponent,
        "tolerance": colour.tolerance,
        "drift": colour.drift,
    }[field]
    if number is None:
        words = {
            "digit": "a digit",
            "exponent": "a multiplier",
            "tolerance": "a tolerance",
            "drift": "a drift",
        }
        able = ", ".join(other.name for other in _TABLE if getattr(other, field) is not None)
        raise ImpossibleValue(
            f"band {place + 1}, {name}, can't be {words[field]}", remedy=f"there it may be {able}"
        )
    return number, field in colour.recalled.split()


def encode_bands(value: float, *, tolerance: float, bands: int = 4) -> tuple[str, ...]:
    """Colour bands of a value.

    Parameters
    ----------
    value : float
        In the unit of the code: ohms for resistors, microhenries for inductors.
    tolerance : float
        Half width [%]; must be one that a colour stands for, or 20 with three bands.
    bands : int
        3 or 4 (two digits), or 5 (three digits).

    Returns
    -------
    tuple of str
        Colour names, the first band first.

    Raises
    ------
    ImpossibleValue
        The value has more digits than the bands, lies outside their reach, or no colour stands for the tolerance.

    Examples
    --------
    >>> encode_bands(4700.0, tolerance=5)
    ('yellow', 'violet', 'red', 'gold')
    """
    if bands not in (3, 4, 5):
        raise ImpossibleValue(f"{bands} bands can't be written", remedy="ask for 3, 4 or 5")
    if not 0 < value < float("inf"):
        raise ImpossibleValue(f"{value!r} has no colour bands", remedy="give a finite value above zero")
    count = 3 if bands == 5 else 2
    mantissa, _, power = f"{value:.9e}".partition("e")
    figures = mantissa.replace(".", "").rstrip("0").ljust(count, "0")
    exponent = int(power) - (count - 1)
    multipliers = {colour.exponent: colour.name for colour in _TABLE}
    if len(figures) > count or exponent not in multipliers:
        near = nearest_preferred(value, series="E96" if count == 3 else "E24")
        raise ImpossibleValue(
            f"{value!r} can't be written with {bands} bands",
            remedy=f"the nearest preferred value is {near:g}; bands reach from 0.01 to 9.9 × 10¹⁰",
        )
    names = [_TABLE[int(figure)].name for figure in figures] + [multipliers[exponent]]
    if bands == 3:
        if tolerance != NO_BAND_TOLERANCE:
            raise ImpossibleValue(f"three bands can't say ±{tolerance:g} %", remedy="three bands mean ±20 %")
        return tuple(names)
    widths = {colour.tolerance: colour.name for colour in _TABLE if colour.tolerance is not None}
    if tolerance not in widths:
        listed = ", ".join(f"{width:g}" for width in sorted(width for width in widths if width is not None))
        raise ImpossibleValue(
            f"no colour stands for ±{tolerance:g} %", remedy=f"colours stand for {listed} %"
        )
    return (*names, widths[tolerance])
