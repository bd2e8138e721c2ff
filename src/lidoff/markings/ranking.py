"""Every meaning of a marking, the most plausible first."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from lidoff.errors import ImpossibleValue, LidoffError, UnknownName
from lidoff.markings.decoder import Decoder, all_decoders
from lidoff.markings.marks import MARKED_PARTS, Mark, read_marks
from lidoff.markings.meaning import Meaning, Reading
from lidoff.markings.series import series_of
from lidoff.markings.text import tidy
from lidoff.quantities import Quantity, format_quantity

__all__ = ["decode"]

# What is met in gadgets (common practice, no source): least and greatest, in ohms, farads and henries.
_USUAL = {"resistor": (0.5e-3, 22e6), "capacitor": (0.5e-12, 0.1), "inductor": (1e-9, 10e-3)}
_UNUSUAL = 0.3  # weight of a value outside of what is usual
_SERIES_WEIGHT = {
    "E3": 1.0,
    "E6": 1.0,
    "E12": 0.98,
    "E24": 0.95,
    "E48": 0.85,
    "E96": 0.85,
    "E192": 0.6,
    "": 0.3,
}
_FUTURE = 0.02  # weight of a date that has not come yet
_SENSE_OHMS = 1.0  # current-sense resistors below this are made in 1, 2, 3, 4, 5 … steps as well

_EXTRA = Decoder(
    name="extra_marks",
    title="top mark of a small part, from your own table",
    about=MARKED_PARTS,
    source="your own table of top marks",
    from_memory=False,
    example="",
    read=lambda _: (),
)


def decode(
    text: str, *, what: str | None = None, extra_marks: Iterable[Mark] = (), today: date | None = None
) -> tuple[Meaning, ...]:
    """Every meaning of a printed marking, the most plausible first.

    Parameters
    ----------
    text : str
        What is printed on the part, or the colours of its bands from one end to the other.
    what : str, optional
        What the thing is known to be (``"resistor"``, ``"capacitor"``…); only such meanings are returned.
    extra_marks : iterable of Mark
        The analyst's own top marks, beside those of the package.
    today : date, optional
        Dates behind it come last, marked doubtful; without it no date is known to lie in the future.

    Returns
    -------
    tuple of Meaning
        At least one. The order is by plausibility, a rule of thumb (common practice, no source): what is usual comes
        before what is rare, preferred numbers before others; ties by what it is and the decoder's name.

    Raises
    ------
    ImpossibleValue
        The form is known but what it says can't be, for instance a colour that can't stand where it does; or the text
        means nothing of the kind asked for.
    UnknownName
        No decoder reads the text, or `what` is none of the known things.

    Examples
    --------
    >>> [(meaning.what, str(meaning.value)) for meaning in decode("104")][:2]
    [('resistor', '100 kΩ'), ('capacitor', '100 nF')]
    """
    marking = tidy(text)
    decoders = all_decoders()
    known = sorted({subject for decoder in decoders.values() for subject in decoder.about})
    if what is not None and what not in known:
        raise UnknownName(f"no decoder speaks of {what!r}", name=what, known=known)
    meanings: list[Meaning] = []
    refused: list[LidoffError] = []
    for decoder in decoders.values():
        try:
            found = decoder.read(marking)
        except LidoffError as error:
            refused.append(error)
            continue
        meanings.extend(_meaning(marking, reading, decoder, today) for reading in found)
    meanings.extend(_meaning(marking, reading, _EXTRA, today) for reading in read_marks(marking, extra_marks))
    wanted = [meaning for meaning in meanings if what in (None, meaning.what)]
    if not wanted:
        raise _nothing(marking, what, meanings, refused)
    wanted.sort(
        key=lambda meaning: (-meaning.plausibility, meaning.what, meaning.decoder, meaning.says, meaning.how)
    )
    return tuple(wanted)


def _meaning(marking: str, reading: Reading, decoder: Decoder, today: date | None) -> Meaning:
    series, weight, doubts = _judged(reading)
    if reading.begins is not None and today is not None and reading.begins > today:
        weight, doubts = weight * _FUTURE, (*doubts, "that date has not come yet")
    return Meaning(
        marking=marking,
        what=reading.what,
        says=reading.says,
        value=reading.value,
        limits=reading.limits,
        series=series,
        how=reading.how,
        decoder=decoder.name,
        title=decoder.title,
        source=reading.source or decoder.source,
        from_memory=decoder.from_memory or reading.from_memory,
        plausibility=round(reading.plausibility * weight, 4),
        facts=reading.facts,
        doubts=(*reading.doubts, *doubts),
    )


def _judged(reading: Reading) -> tuple[str, float, tuple[str, ...]]:
    """E series, weight and doubts that the value itself brings."""
    if not reading.in_series or reading.value is None or reading.value.value <= 0:
        return "", 1.0, ()
    quantity = reading.value
    series = series_of(quantity.value)
    weight = _SERIES_WEIGHT[series]
    doubts: list[str] = []
    if not series:
        doubts.append(f"{format_quantity(quantity)} is in no E series (IEC 60063)")
        if reading.what == "resistor" and quantity.value < _SENSE_OHMS:
            weight = 0.8
            doubts[-1] += ", which is common for current-sense resistors"
    low, high = _USUAL.get(reading.what, (0.0, float("inf")))
    if not low <= quantity.value <= high:
        weight *= _UNUSUAL
        doubts.append(f"{_size(quantity, low)} for a part of this kind in a gadget")
    return series, weight, tuple(doubts)


def _size(quantity: Quantity, low: float) -> str:
    return "unusually small" if quantity.value < low else "unusually large"


def _nothing(
    marking: str, what: str | None, others: list[Meaning], refused: list[LidoffError]
) -> LidoffError:
    if others:
        kinds = ", ".join(sorted({meaning.what for meaning in others}))
        return ImpossibleValue(
            f"{marking!r} does not read as {what}", remedy=f"it reads as {kinds}; look at the part again"
        )
    if len(refused) == 1:
        return refused[0]
    if refused:
        return ImpossibleValue(
            f"{marking!r} has a known form but can't be read",
            remedy="look at the print again in slanting light",
            faults=refused,
        )
    return UnknownName(
        f"no decoder reads {marking!r}",
        name=marking,
        remedy="mind O and 0, I and 1, capitals and small letters; a type number of a chip is looked up in its data "
        "sheet, and your own marks can be added as a table",
    )
