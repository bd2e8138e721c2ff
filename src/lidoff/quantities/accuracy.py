"""What a meter's data sheet promises, "±(0.5 % + 3)", as limits and standard uncertainty of a reading."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from lidoff.errors import ImpossibleValue
from lidoff.quantities.limits import standard_from_limits
from lidoff.quantities.parsing import parse_quantity
from lidoff.quantities.quantity import Quantity
from lidoff.quantities.units import find_spelling, unit_named

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["Accuracy", "parse_accuracy"]

_NUMBER = r"(?P<number>[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
_OF_READING = re.compile(_NUMBER + r"\s*(?P<unit>%|‰|ppm)\s*(?:of\s+)?(?:rdg\.?|reading)?", re.IGNORECASE)
_OF_RANGE = re.compile(
    _NUMBER + r"\s*(?P<unit>%|‰|ppm)\s*(?:of\s+)?(?:range|rng\.?|f\.?\s?s\.?|full[ -]scale)", re.IGNORECASE
)
_COUNTS = re.compile(_NUMBER + r"\s*(?:counts?|cts?|digits?|dgts?\.?|dig\.?|d|lsd)", re.IGNORECASE)
_BARE = re.compile(_NUMBER)
_CLASS = re.compile(r"(?:accuracy\s+)?class\s+" + _NUMBER, re.IGNORECASE)
"""Class of a panel meter: its limits as per cent of the range, IEC 60051-1 (from memory)."""
_WHICHEVER = re.compile(r",?\s*which(?:ever)? is (?:the )?(?:greater|larger|more)\s*$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Accuracy:
    """One accuracy specification: limits that an instrument's error stays within.

    Parameters
    ----------
    reading_fraction : float
        Share of the reading, as a ratio.
    counts : float
        Steps of the last digit.
    floor : float
        Fixed part, in `floor_unit`.
    range_fraction : float
        Share of the range's full scale, as a ratio.
    floor_unit : str
        Kept unit of the fixed part; empty where there is none.
    or_larger : Accuracy or None
        Another specification, of which the wider one counts: "2 °C or 2 %, whichever is greater".

    Examples
    --------
    >>> round(Accuracy(0.005, 3).half_width(4.40, 0.01), 4)
    0.052
    """

    reading_fraction: float = 0.0
    counts: float = 0.0
    floor: float = 0.0
    range_fraction: float = 0.0
    floor_unit: str = ""
    or_larger: Accuracy | None = None

    def __post_init__(self) -> None:
        """Refuse negative or endless limits."""
        for name in ("reading_fraction", "counts", "floor", "range_fraction"):
            given = getattr(self, name)
            if not 0.0 <= given < float("inf"):
                raise ImpossibleValue(
                    f"an accuracy with {name} = {given}", remedy="give finite numbers from zero up"
                )

        if bool(self.floor) != bool(self.floor_unit):
            raise ImpossibleValue(
                f"an accuracy with a fixed part of {self.floor} in {self.floor_unit!r}",
                remedy="give the fixed part with its unit, or neither",
            )

    def half_width(self, reading: float, resolution: float, *, full_scale: float | None = None) -> float:
        """Largest error that the specification allows.

        Parameters
        ----------
        reading : float
            What the instrument showed, in the kept unit.
        resolution : float
            One step of its last digit, in the same unit.
        full_scale : float, optional
            End of the range used, in the same unit; needed where the specification has a share of range.

        Returns
        -------
        float
            Half-width of the limits round the reading, in the same unit.

        Raises
        ------
        ImpossibleValue
            The resolution is not from zero up, or the full scale is needed and not given.
        """
        if not resolution >= 0.0:
            raise ImpossibleValue(
                f"a resolution of {resolution}", remedy="give the step of the last digit, from zero up"
            )
        other = 0.0
        if self.or_larger is not None:
            other = self.or_larger.half_width(reading, resolution, full_scale=full_scale)
        if self.range_fraction and full_scale is None:
            raise ImpossibleValue(
                f"the accuracy {self} counts a share of the range, and no range is given",
                remedy="state the range that the reading was taken on",
            )
        of_range = self.range_fraction * abs(full_scale) if full_scale is not None else 0.0
        own = self.reading_fraction * abs(reading) + self.counts * resolution + of_range + self.floor
        return max(own, other)

    def half_widths(
        self, readings: NDArray[np.float64], resolution: float, *, full_scale: float | None = None
    ) -> NDArray[np.float64]:
        """Largest error that the specification allows at each of many readings.

        Parameters
        ----------
        readings : ndarray of float64, shape (N,)
            What the instrument showed, in the kept unit.
        resolution : float
            As for `half_width`.
        full_scale : float, optional
            As for `half_width`.

        Returns
        -------
        ndarray of float64, shape (N,)
            Half-widths, in the same unit.

        Raises
        ------
        ImpossibleValue
            As for `half_width`.
        """
        import numpy as np  # no command that only reads texts waits for it

        fixed = replace(self, or_larger=None).half_width(0.0, resolution, full_scale=full_scale)
        own = fixed + self.reading_fraction * np.abs(readings)
        if self.or_larger is None:
            return own
        return np.maximum(own, self.or_larger.half_widths(readings, resolution, full_scale=full_scale))

    @property
    def needs_range(self) -> bool:
        """Whether a share of the range is part of it."""
        return bool(self.range_fraction) or (self.or_larger is not None and self.or_larger.needs_range)

    def standard_uncertainty(
        self, reading: float, resolution: float, *, full_scale: float | None = None
    ) -> float:
        """Standard uncertainty of a reading, every error within the limits being equally likely.

        Parameters
        ----------
        reading, resolution : float
            As for `half_width`.
        full_scale : float, optional
            As for `half_width`.

        Returns
        -------
        float
            Half-width over √3, in the reading's unit.

        References
        ----------
        .. [1] JCGM 100:2008, 4.3.7.
        """
        return standard_from_limits(self.half_width(reading, resolution, full_scale=full_scale))

    def __str__(self) -> str:
        """Text as data sheets write it."""
        parts = []
        if self.reading_fraction:
            parts.append(f"{100 * self.reading_fraction:.6g} %")
        if self.range_fraction:
            parts.append(f"{100 * self.range_fraction:.6g} % of range")
        if self.counts:
            parts.append(f"{self.counts:g} count{'' if self.counts == 1 else 's'}")
        if self.floor:
            parts.append(str(Quantity(self.floor, self.floor_unit)))
        own = "±0 %"
        if parts:
            own = f"±({' + '.join(parts)})" if len(parts) > 1 else f"±{parts[0]}"
        return own if self.or_larger is None else f"{own} or {self.or_larger}"


def parse_accuracy(text: str, *, unit: str | None = None) -> Accuracy:
    """Accuracy that a data sheet's text states.

    Parameters
    ----------
    text : str
        "±(0.5 % + 3)", "0.5% + 3 digits", "±(0.8 % + 5 dgt)", "1 %", "± 3 counts", "0.5 % + 2 mV",
        "0.05 % of reading + 0.02 % of range". A number alone behind a share is counts of the last digit; common
        practice, no source. "2 °C or 2 %" is the larger of the two, and "class 1.5" a share of the range.
    unit : str, optional
        Unit of the readings, to refuse a fixed part of another dimension.

    Returns
    -------
    Accuracy
        The limits.

    Raises
    ------
    ImpossibleValue
        The text is no accuracy, or states a part twice.
    UnknownName
        The unit of the fixed part is unknown.

    Examples
    --------
    >>> parse_accuracy("±(0.5 % + 3)").counts
    3.0
    >>> print(parse_accuracy("2 °C or 2 %"))
    ±2 °C or ±2 %
    """
    if len(text) > 200:
        raise ImpossibleValue(f"an accuracy of {len(text)} characters", remedy='write it like "±(0.5 % + 3)"')
    inner = re.sub(r"\+\s?/\s?-|\+-", "±", text.replace("\u00a0", " ")).strip()
    one, larger, other = inner.partition(" or ")
    if larger:
        other = _WHICHEVER.sub("", other)
        return replace(parse_accuracy(one, unit=unit), or_larger=parse_accuracy(other, unit=unit))
    panel = _CLASS.fullmatch(inner)
    if panel is not None:
        return Accuracy(range_fraction=float(_decimal(panel["number"]) / 100))
    inner = inner.removeprefix("±").strip()
    if inner.startswith("(") and inner.endswith(")"):
        inner = inner[1:-1]
    found: dict[str, float] = {}
    floor_unit = ""
    for part in re.split(r"[+±]", inner):
        name, amount, symbol = _term(part.strip(), bool(found), text, unit)
        if name in found:
            raise ImpossibleValue(
                f"the accuracy {text!r} states its {name} twice", remedy="state each part once"
            )
        found[name] = amount
        floor_unit = symbol or floor_unit
    return Accuracy(
        reading_fraction=found.get("reading_fraction", 0.0),
        counts=found.get("counts", 0.0),
        floor=found.get("floor", 0.0),
        range_fraction=found.get("range_fraction", 0.0),
        floor_unit=floor_unit,
    )


def _decimal(number: str) -> Decimal:
    """Number of a specification, with either decimal sign."""
    return Decimal(number.replace(",", "."))


def _term(part: str, follows: bool, text: str, unit: str | None) -> tuple[str, float, str]:
    """Name, amount and unit of one term of an accuracy."""
    for name, pattern in (("range_fraction", _OF_RANGE), ("reading_fraction", _OF_READING)):
        match = pattern.fullmatch(part)
        if match is not None:
            return name, float(_decimal(match["number"]) * find_spelling(match["unit"].lower()).factor), ""
    match = _COUNTS.fullmatch(part) or (_BARE.fullmatch(part) if follows else None)
    if match is not None:
        return "counts", float(_decimal(match["number"])), ""
    if not part or _BARE.fullmatch(part):
        raise ImpossibleValue(
            f"{text!r} cannot be read as an accuracy",
            remedy='write it like "±(0.5 % + 3)", "1 %" or "± 3 counts"',
        )
    fixed = parse_quantity(part, unit=unit)
    return "floor", fixed.value, unit_named(fixed.unit).symbol
