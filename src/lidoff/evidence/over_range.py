"""Readings whose display shows no number, since what was read lies beyond its range."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.errors import ImpossibleValue
from lidoff.evidence.instrument import Instrument
from lidoff.evidence.reading import Measured, Reading, WithoutPower
from lidoff.quantities import Quantity, parse_quantity

__all__ = ["OVER_RANGE", "is_over_range", "measure_over_range", "told_reading"]

OVER_RANGE = "over range"
"""How such a reading is written."""
DISPLAYED = frozenset({OVER_RANGE, "ol", "o.l", "0l", "0.l"})
"""How displays and people write it, in small letters; common practice, no source."""
ENDS: Mapping[str, str] = {"resistance": "60 MΩ", "diode": "2 V"}
"""End of the largest range where neither reading nor instrument tells it; common practice, no source."""


def is_over_range(text: str) -> bool:
    """Whether a text says that the display was over its range.

    Examples
    --------
    >>> is_over_range("OL"), is_over_range("1.2 V")
    (True, False)
    """
    return text.strip().lower() in DISPLAYED


def measure_over_range(reading: Reading, instruments: Mapping[str, Instrument]) -> Measured:
    """Reading whose display told that the value lies beyond it.

    Parameters
    ----------
    reading : Reading
        Some of what it shows is over range.
    instruments : mapping of str to Instrument
        Known instruments by name.

    Returns
    -------
    Measured
        Its quantity is the end of the range: the range named, else the largest of the instrument, else the usual one.

    Raises
    ------
    ImpossibleValue
        It is no reading without power, or some of its repeats show a number.
    """
    target = reading.target
    if not isinstance(target, WithoutPower):
        raise ImpossibleValue(
            f"the reading {reading.name!r} shows {next(filter(is_over_range, reading.shown))!r} instead of a number",
            remedy="over range can be said of resistance and diode, taken without power; take others on a larger range",
        )
    if not all(map(is_over_range, reading.shown)):
        raise ImpossibleValue(
            f"the reading {reading.name!r} is over range at some of its repeats only",
            remedy="give those as a reading of their own",
        )
    known = instruments.get(reading.instrument)
    ends = [
        span.full_scale
        for span in (known.ranges if known is not None else ())
        # What a meter's diode range ends at is no range for voltages.
        if span.measures == target.range_name and span.full_scale is not None
    ]
    if reading.on_range:
        end = parse_quantity(reading.on_range, unit=target.unit)
    elif ends:
        end = Quantity(max(ends), target.unit)
    else:
        end = parse_quantity(ENDS[target.range_name], unit=target.unit)
    return Measured(reading=reading, quantity=end, over_range=True)


def told_reading(measured: Measured) -> str:
    """What a reading showed, for a sentence.

    Parameters
    ----------
    measured : Measured
        The reading.

    Returns
    -------
    str
        The quantity with its uncertainty, or that it lies beyond the end of the range.
    """
    if measured.over_range:
        return f"{OVER_RANGE} (more than {measured.quantity})"
    return str(measured.quantity)
