"""Whether a meter follows the signal that it reads: crest factor, frequency, and what its range responds to."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from lidoff.errors import ImpossibleValue
from lidoff.quantities import Quantity, format_quantity, parse_quantity

if TYPE_CHECKING:
    from lidoff.evidence.instrument import Range
    from lidoff.evidence.reading import Reading

__all__ = ["RESPONDS", "band_of", "following"]

RESPONDS = ("true rms", "mean")
"""What an AC range makes its reading of; one that responds to the mean is marked for the rms value of a sine."""
SINE_CREST = math.sqrt(2.0)
NEAR_SINE = 0.05
"""Share by which a crest factor may differ from a sine's; our choice."""
_BAND = re.compile(r"(?P<low>.+?)\s*(?:to|–|…|\.\.)\s*(?P<high>.+)")


def band_of(text: str) -> tuple[float, float]:
    """Lowest and highest frequency of a band.

    Parameters
    ----------
    text : str
        Such as ``"45 Hz to 1 kHz"``, or ``"1 kHz"`` for up to that.

    Returns
    -------
    tuple of float
        In Hz.

    Raises
    ------
    ImpossibleValue
        It cannot be read, or ends before it begins.

    Examples
    --------
    >>> band_of("45 Hz to 1 kHz"), band_of("400 Hz")
    ((45.0, 1000.0), (0.0, 400.0))
    """
    found = _BAND.fullmatch(text.strip())
    low = parse_quantity(found["low"], unit="Hz").value if found else 0.0
    high = parse_quantity(found["high"] if found else text, unit="Hz").value
    if not 0.0 <= low < high:
        raise ImpossibleValue(
            f"the band {text!r} ends before it begins", remedy='write it such as "45 Hz to 1 kHz"'
        )
    return low, high


def following(span: Range, reading: Reading) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What speaks against a reading because of its signal, and what was taken for granted.

    Parameters
    ----------
    span : Range
        The range that it was taken on.
    reading : Reading
        With its crest factor and frequency, where they are told.

    Returns
    -------
    doubts : tuple of str
        Why the reading cannot be relied on; each without a full stop.
    notes : tuple of str
        What was taken for granted; sentences.

    References
    ----------
    .. [1] Crest factor as peak over rms value, IEC 60050-103, 103-02-33 (from memory); limits as the meter's own data
       sheet states them.
    """
    doubts: list[str] = []
    notes: list[str] = []
    crest = parse_quantity(reading.crest_factor, unit="1").value if reading.crest_factor else None
    largest = span.largest_crest
    if largest is not None:
        if crest is not None and crest > largest:
            doubts.append(
                f"the crest factor of {crest:g} is above {largest:g}, up to which its accuracy holds"
            )
        elif crest is None:
            notes.append(
                f"Taken for granted that the crest factor was no more than {largest:g}, up to which the accuracy holds."
            )
    if span.responds == "mean":
        if crest is not None and abs(crest / SINE_CREST - 1.0) > NEAR_SINE:
            doubts.append(
                f"the meter responds to the mean and is right for a sine alone, and the crest factor is {crest:g}"
            )
        elif crest is None:
            notes.append(
                "The meter responds to the mean and is right for a sine alone, which is taken for granted."
            )
    if span.band:
        low, high = band_of(span.band)
        told = reading.frequency
        if told and not low <= parse_quantity(told, unit="Hz").value <= high:
            shown = format_quantity(parse_quantity(told, unit="Hz"), with_uncertainty=False)
            doubts.append(
                f"the frequency of {shown} lies outside {_band_words(low, high)}, where its accuracy holds"
            )
        elif not told:
            notes.append(
                f"Taken for granted that the signal lay in {_band_words(low, high)}, where the accuracy holds."
            )
    return tuple(doubts), tuple(notes)


def _band_words(low: float, high: float) -> str:
    top = format_quantity(Quantity(high, "Hz"))
    return f"{format_quantity(Quantity(low, 'Hz'))} to {top}" if low else f"the band up to {top}"
