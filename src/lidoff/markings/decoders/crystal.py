"""Crystals and resonators: 12.000, 32.768, 16.000MHz."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Reading
from lidoff.markings.text import decimal_value
from lidoff.quantities import Quantity

_PRINT = re.compile(
    r"(?P<number>\d{1,3}\.\d{1,6}|\d{1,3}(?= ?[kM]?Hz)) ?(?P<unit>[kM]Hz|KHZ|MHZ|[kKM])?", re.ASCII
)
_BARE_DECIMALS = 3  # a bare 12.000 is a frequency, a bare 4.7 is not
_BARE_HERTZ = 1e6  # nobody prints kilohertz as 0.047 without a unit
_WATCH = "32.768"  # 2¹⁵ Hz in kilohertz


def _read(text: str) -> tuple[Reading, ...]:
    match = _PRINT.fullmatch(text)
    if match is None:
        return ()
    number, unit = match["number"], (match["unit"] or "")
    decimals = len(number.partition(".")[2])
    if len(unit) < 2 and decimals < _BARE_DECIMALS:
        return ()
    kilo = unit[:1] in ("k", "K") or (not unit and number == _WATCH)
    hertz = decimal_value(number, 3 if kilo else 6)
    if not 1e4 <= hertz <= 3e8:
        return ()
    return (
        Reading(
            what="crystal",
            value=Quantity(hertz, "Hz"),
            how=f"frequency in {'kilohertz' if kilo else 'megahertz'}",
            plausibility=0.9 if unit or number == _WATCH else 0.75 if hertz >= _BARE_HERTZ else 0.1,
        ),
    )


MEMBERS = (
    Decoder(
        name="crystal",
        title="frequency printed on a crystal",
        about=("crystal",),
        source="common practice, no source",
        from_memory=True,
        example="12.000",
        read=_read,
    ),
)
