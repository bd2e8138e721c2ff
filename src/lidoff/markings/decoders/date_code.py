"""Date codes: year and week in four digits, and the year and month letters of IEC 60062."""

from __future__ import annotations

import re
from datetime import date, timedelta

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Reading

_WEEK = re.compile(
    r"(?P<lead>(?:DC|D/C|DATE)[: ]?)?(?P<year>\d\d)(?P<week>\d\d)\+?", re.ASCII | re.IGNORECASE
)
_MONTH = re.compile(r"([A-HJ-NPR-TU-X])([1-9OND])", re.ASCII)
_OLDEST = 70  # two-digit years from here on are taken for 19xx

# IEC 60062, from memory: a letter a year, returning every twenty years; O, N and D are the last months.
_YEARS = {letter: 1990 + place for place, letter in enumerate("ABCDEFHJKLMNPRSTUVWX")}
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
_MONTH_SIGNS = "123456789OND"


def _week(text: str) -> tuple[Reading, ...]:
    match = _WEEK.fullmatch(text)
    if match is None or not 1 <= int(match["week"]) <= 53:
        return ()
    year = int(match["year"])
    begins = date((1900 if year >= _OLDEST else 2000) + year, 1, 1) + timedelta(weeks=int(match["week"]) - 1)
    return (
        Reading(
            what="date",
            says=f"week {int(match['week'])} of {begins.year}",
            how="year and week, two digits each",
            plausibility=0.9 if match["lead"] or text.endswith("+") else _weight(year),
            doubts=("only on a part large enough to carry a date beside its type",),
            begins=begins,
        ),
    )


def _weight(year: int) -> float:
    """Dates of parts in gadgets lie mostly within the last decades; without a clock nothing finer can be told."""
    if 5 <= year <= 39:
        return 0.5
    return 0.25 if year < 5 or year >= 80 else 0.1


def _month(text: str) -> tuple[Reading, ...]:
    match = _MONTH.fullmatch(text)
    if match is None or match[1] not in _YEARS:
        return ()
    first = _YEARS[match[1]]
    return (
        Reading(
            what="date",
            says=f"{_MONTHS[_MONTH_SIGNS.index(match[2])]} of {first}, {first + 20} or later by twenties",
            how=f"{match[1]} is the year, returning every twenty years; {match[2]} is the month",
            plausibility=0.2,
            doubts=("only beside another print on the same part",),
        ),
    )


MEMBERS = (
    Decoder(
        name="date_year_week",
        title="date code of year and week",
        about=("date",),
        source="common practice, no source",
        from_memory=True,
        example="2214",
        read=_week,
    ),
    Decoder(
        name="date_year_month",
        title="date code of year and month letter",
        about=("date",),
        source="IEC 60062, date code",
        from_memory=True,
        example="N7",
        read=_month,
    ),
)
