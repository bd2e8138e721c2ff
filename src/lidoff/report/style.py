"""How numbers are printed: the decimal sign, and the units that the analyst prefers.

Both change only how a number stands in a text, never its digits: a prefix of a unit is exchanged by moving the decimal sign.
What is quoted from a box or a listing, between “ and ”, stays as it is printed there.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from lidoff.dossier import Publication
from lidoff.errors import UnknownName
from lidoff.report.model import Picture
from lidoff.report.prose import Prose

__all__ = ["NumberStyle", "style_of", "styled", "styled_svg", "styled_value"]

_PREFIXES = {"p": -12, "n": -9, "µ": -6, "m": -3, "": 0, "k": 3, "M": 6, "G": 9}
_BASES = ("V", "A", "W", "Ω", "F", "H", "Hz", "Wh", "Ah", "VA", "m", "s", "g", "Pa")
_UNITS: Mapping[str, tuple[int, str]] = MappingProxyType(
    {prefix + base: (power, base) for base in _BASES for prefix, power in _PREFIXES.items()}
)
_OTHERS = ("%", "°C", "K", "u", "h", "min", "lm", "lx", "dB", "mm²", "°", "W/m²")
_SPACE = "[ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]"
_UNIT = "|".join(re.escape(unit) for unit in sorted({*_UNITS, *_OTHERS}, key=lambda unit: (-len(unit), unit)))
_AMOUNT = re.compile(rf"(?<![\w.,])(\d+(?:\.\d+)?)({_SPACE})({_UNIT})(?![\w²³])")
_QUOTED = re.compile(r"(“[^”]*”)")
_TEXT_NODE = re.compile(r"(<style>.*?</style>)|>([^<>]+)<", re.DOTALL)


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberStyle:
    """How numbers are printed.

    Attributes
    ----------
    comma : bool
        Whether the decimal sign is a comma.
    units : mapping of str to str
        Base unit → unit to print in, such as ``{"A": "mA"}``.
    """

    comma: bool = False
    units: Mapping[str, str] = field(default_factory=dict)

    @property
    def plain(self) -> bool:
        """Whether it changes nothing."""
        return not self.comma and not self.units


def style_of(publication: Publication) -> NumberStyle:
    """Style that a dossier asks for.

    Parameters
    ----------
    publication : Publication

    Returns
    -------
    NumberStyle

    Raises
    ------
    UnknownName
        A unit to print in is none that numbers are printed in here.
    """
    units = {}
    for unit in publication.units:
        if unit not in _UNITS:
            raise UnknownName(
                f"numbers cannot be printed in {unit!r}",
                where="publication.units",
                name=unit,
                known=sorted(_UNITS),
            )
        units[_UNITS[unit][1]] = unit
    return NumberStyle(comma=publication.numbers == "comma", units=MappingProxyType(units))


def styled(text: str, style: NumberStyle) -> str:
    """Text with its numbers in a style; what is quoted stays as it is.

    Parameters
    ----------
    text : str
    style : NumberStyle

    Returns
    -------
    str

    Examples
    --------
    >>> styled("0.40 A ± 0.05 A; “5.0 V” on the box", NumberStyle(comma=True, units={"A": "mA"}))
    '400 mA ± 50 mA; “5.0 V” on the box'
    >>> styled("4.40 V ± 0.02 V, clause 5.2", NumberStyle(comma=True))
    '4,40 V ± 0,02 V, clause 5.2'
    """
    if style.plain:
        return text

    def rewritten(found: re.Match[str]) -> str:
        number, space, unit = found.groups()
        if unit in _UNITS:
            power, base = _UNITS[unit]
            wanted = style.units.get(base, unit)
            number = format(Decimal(number).scaleb(power - _UNITS[wanted][0]), "f")
            unit = wanted
        return f"{number.replace('.', ',') if style.comma else number}{space}{unit}"

    pieces = _QUOTED.split(text)
    return "".join(
        piece if number % 2 else _AMOUNT.sub(rewritten, piece) for number, piece in enumerate(pieces)
    )


def styled_svg(svg: str, style: NumberStyle) -> str:
    """SVG with the numbers in its texts in a style."""
    if style.plain:
        return svg
    return _TEXT_NODE.sub(
        lambda found: found[0] if found[1] else f">{styled(found[2], style)}<",
        svg,
    )


def styled_value(value: Any, style: NumberStyle) -> Any:
    """Pages, or a part of them, with every number in a style; the analyst's own words stay as written."""
    if style.plain or isinstance(value, Prose):
        return value
    if isinstance(value, str):
        return styled(value, style)
    if isinstance(value, tuple):
        return tuple(styled_value(one, style) for one in value)
    if isinstance(value, Picture):
        return replace(
            value,
            wide=styled_svg(value.wide, style),
            narrow=styled_svg(value.narrow, style),
            paper=styled_svg(value.paper, style),
        )
    if is_dataclass(value) and not isinstance(value, type):
        changed = {field.name: styled_value(getattr(value, field.name), style) for field in fields(value)}
        return replace(value, **changed)
    return value
