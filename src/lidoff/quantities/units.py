"""Written unit → row of the table, with the factor and offset to the kept unit."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from lidoff.errors import ImpossibleValue, UnknownName, nearest_name
from lidoff.quantities.table import UNITS
from lidoff.quantities.unit import PREFIXES, Unit

__all__ = ["Spelling", "find_spelling", "is_spelling", "spelling_key", "unit_named"]

# How keyboards and labels write a prefix. A capital M never quietly becomes milli, except for the units that are
# marked `label_capitals`.
_PREFIX_HABITS = {"u": "µ", "U": "µ", "K": "k", "N": "n", "P": "p"}
_PREFIX_WORDS = {
    "pico": "p", "nano": "n", "micro": "µ", "milli": "m", "kilo": "k", "mega": "M", "giga": "G",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Spelling:
    """One readable way to write a unit: the unit, the factor to it and the offset after the factor."""

    unit: Unit
    factor: Decimal
    offset: Decimal = Decimal(0)


@cache
def _by_symbol() -> dict[str, Unit]:
    """Unit of each kept symbol; refuses a symbol that is listed twice."""
    table = {unit.symbol: unit for unit in UNITS}
    if len(table) != len(UNITS):
        raise TypeError("a symbol stands twice in the table of units")
    return table


def unit_named(name: str) -> Unit:
    """Unit that a symbol or any other spelling belongs to.

    Parameters
    ----------
    name : str
        Symbol or spelling: "V", "ohm", "mAh".

    Returns
    -------
    Unit
        The unit that such quantities are kept in.

    Raises
    ------
    UnknownName
        No unit is written so; suggests the nearest symbol.

    Examples
    --------
    >>> unit_named("mAh").symbol
    'Ah'
    """
    unit = _by_symbol().get(name)
    return unit if unit is not None else find_spelling(name).unit


_KEY_TABLE = str.maketrans(
    {" ": None, "·": None, "*": None, "^": None, "²": "2", "³": "3", "μ": "µ", "Ω": "Ω", "K": "K"}
)


def spelling_key(text: str) -> str:
    """Text of a unit without what writers leave out or vary: spaces, product dots, raised digits.

    Parameters
    ----------
    text : str
        A unit as written.

    Returns
    -------
    str
        The same for every variant of one spelling.

    Examples
    --------
    >>> spelling_key("W / m²") == spelling_key("W/m^2")
    True
    """
    return text.translate(_KEY_TABLE)


def _stems(unit: Unit) -> list[tuple[str, Decimal, str, Decimal]]:
    """Every spelling of a unit without prefix: key, factor, prefixes, offset."""
    one, zero = Decimal(1), Decimal(0)
    stems = [(spelling_key(text), one, unit.prefixes, zero) for text in (unit.symbol, *unit.words.split())]
    for other in unit.others:
        stems += [
            (spelling_key(text), Decimal(other.factor), other.prefixes, Decimal(other.offset))
            for text in other.spellings.split()
        ]
    return stems


@cache
def _exact() -> dict[str, Spelling]:
    """Every spelling with every prefix it takes, exactly as written."""
    table: dict[str, Spelling] = {}
    for unit in UNITS:
        for stem, factor, prefixes, offset in _stems(unit):
            for prefix in ("", *prefixes):
                key = spelling_key(prefix + stem)
                if key in table:
                    raise TypeError(f"{key!r} is both {table[key].unit.symbol} and {unit.symbol}")
                table[key] = Spelling(unit, factor * PREFIXES[prefix], offset)
    return table


@cache
def _relaxed() -> dict[str, tuple[tuple[Unit, Decimal, str, Decimal], ...]]:
    """Stems by their small-letter form, for spellings with unusual capitals."""
    table: dict[str, tuple[tuple[Unit, Decimal, str, Decimal], ...]] = {}
    for unit in UNITS:
        for stem, factor, prefixes, offset in _stems(unit):
            key = stem.lower()
            table[key] = (*table.get(key, ()), (unit, factor, prefixes, offset))
    return table


def find_spelling(text: str, *, expected: Unit | None = None, within: str = "") -> Spelling:
    """Unit, factor and offset that a written unit stands for.

    Exact spellings win; then habits of keyboards and labels are tried: "uF", "KHZ", "kiloohm", "MAH".

    Parameters
    ----------
    text : str
        The unit as written.
    expected : Unit, optional
        The unit looked for; settles spellings that alone could mean two units.
    within : str, optional
        The whole text, for the message.

    Returns
    -------
    Spelling
        What it stands for.

    Raises
    ------
    UnknownName
        No unit is written so.
    ImpossibleValue
        Two units could be meant.

    Examples
    --------
    >>> float(find_spelling("kohm").factor)
    1000.0
    """
    key = spelling_key(text)
    if expected is not None:
        if key and key in expected.loose.split():
            return Spelling(expected, Decimal(1))
        bare = _PREFIX_HABITS.get(key, key)
        exact_here = _exact().get(key)
        if (
            expected.bare_prefix
            and bare
            and bare in expected.prefixes
            and (exact_here is None or exact_here.unit is not expected)
        ):
            return Spelling(expected, PREFIXES[bare])
    found = _exact().get(key)
    if found is not None:
        return found
    candidates = {(spelling.unit.symbol, spelling.factor): spelling for spelling in _by_habit(key)}
    if expected is not None:
        kept = {name: spelling for name, spelling in candidates.items() if spelling.unit is expected}
        candidates = kept or candidates
    if len(candidates) == 1:
        return next(iter(candidates.values()))
    place = f" in {within!r}" if within else ""
    if candidates:
        meant = " or ".join(sorted(f"{factor.normalize():f} {symbol}" for symbol, factor in candidates))
        raise ImpossibleValue(
            f"the unit {text!r}{place} can mean {meant}",
            remedy="mind capitals: m is milli or metre, M is mega, K is kelvin",
        )
    near = nearest_name(key, _exact())
    fits = bool(near) and expected is not None and _exact()[near].unit.dimension == expected.dimension
    if expected is not None and expected.symbol != "1" and not fits:
        # The other units would lead away from the one that is looked for.
        raise UnknownName(
            f"unknown unit {text!r}{place}",
            name=text,
            known=[expected.symbol],
            remedy=f"write a number in {expected.symbol}, and nothing else behind it",
        )
    raise UnknownName(
        f"unknown unit {text!r}{place}",
        name=text,
        known=[unit.symbol for unit in UNITS],
        remedy=f"did you mean {near!r}?" if near else "",
    )


def is_spelling(text: str) -> bool:
    """Whether a text is a unit exactly as the table writes it, prefix included.

    Parameters
    ----------
    text : str
        What may be a unit.

    Returns
    -------
    bool
        False for unusual capitals, which `find_spelling` may still understand.

    Examples
    --------
    >>> is_spelling("mAh"), is_spelling("Volts per day")
    (True, False)
    """
    return spelling_key(text) in _exact()


def _by_habit(key: str) -> list[Spelling]:
    """Readings of a spelling under the habits of keyboards and labels."""
    readings: list[Spelling] = []
    lowered = key.lower()

    def add(prefix: str, stem: str) -> None:
        for unit, factor, prefixes, offset in _relaxed().get(stem, ()):
            if prefix == "M" and unit.label_capitals:
                prefix = "m"
            if prefix == "" or prefix in prefixes:
                readings.append(Spelling(unit, factor * PREFIXES[prefix], offset))

    add("", lowered)
    if len(key) > 1 and (key[0] in PREFIXES or key[0] in _PREFIX_HABITS):
        add(_PREFIX_HABITS.get(key[0], key[0]), lowered[1:])
    for word, prefix in _PREFIX_WORDS.items():
        if lowered.startswith(word) and len(lowered) > len(word) + 2:
            add(prefix, lowered[len(word) :])
    return readings
