"""Zener diodes whose voltage stands in the part number: BZX55C5V1, 1N4733A, MMSZ5231B, 5V1."""

from __future__ import annotations

import re

from lidoff.errors import ImpossibleValue
from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value
from lidoff.markings.tolerance import Tolerance, limits_from
from lidoff.quantities import Quantity

_FAMILY = re.compile(
    r"(?P<family>BZX\d\d|BZV\d\d|BZT52|BZT03|BZG\d\d|BZW\d\d|BZY\d\d|MM1Z|MM3Z|TZX|ZMM|ZPD|BZD\d\d|HZM|ZD)"
    r"[- ]?(?P<letter>[ABCD])?[- ]?(?P<volts>\d{1,3}(?:[V.]\d{1,2})?)V?(?P<rest>[A-Z0-9-]{0,8})",
    re.ASCII,
)
_PLAIN = re.compile(r"[CZ]?(\d{1,3})V(\d)", re.ASCII)
_REGISTERED = re.compile(r"(?:1N|MMSZ|MMBZ|TZM)(?P<number>47\d\d|52\d\d)(?P<letter>[A-D])?", re.ASCII)

# Power of the usual families (makers' data, from memory) [W].
_POWER = {"BZX55": 0.5, "BZX79": 0.5, "BZX84": 0.25, "BZX85": 1.3, "BZV55": 0.5, "ZMM": 0.5, "ZPD": 0.5}

_WIDTH = {
    "A": 1.0,
    "B": 2.0,
    "C": 5.0,
    "D": 10.0,
}  # [%], letter before the voltage; makers' data, from memory

# 1N4728 to 1N4764 and 1N5221 to 1N5281: registered voltages, in the order of the numbers, from memory [V].
_FROM_4728 = (
    3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2, 9.1, 10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
    33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91, 100,
)  # fmt: skip
_FROM_5221 = (
    2.4, 2.5, 2.7, 2.8, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.0, 6.2, 6.8, 7.5, 8.2, 8.7, 9.1, 10, 11, 12,
    13, 14, 15, 16, 17, 18, 19, 20, 22, 24, 25, 27, 28, 30, 33, 36, 39, 43, 47, 51, 56, 60, 62, 68, 75, 82, 87,
    91, 100, 110, 120, 130, 140, 150, 160, 170, 180, 190, 200,
)  # fmt: skip
_WIDTH_4728 = {"": 10.0, "A": 5.0, "C": 2.0, "D": 1.0}  # [%]
_WIDTH_5221 = {"": 20.0, "A": 10.0, "B": 5.0, "C": 2.0, "D": 1.0}  # [%]


def _family(text: str) -> tuple[Reading, ...]:
    match = _FAMILY.fullmatch(text.upper())
    if match is None:
        return ()
    volts = decimal_value(match["volts"].replace("V", "."), 0)
    if volts == 0:
        return ()
    width = _WIDTH.get(match["letter"] or "")
    power = _POWER.get(match["family"])
    rest = match["rest"].strip("-")
    return (
        Reading(
            what="zener diode",
            value=Quantity(volts, "V"),
            limits=limits_from(volts, Tolerance(minus=width, plus=width)) if width else None,
            how=f"family {match['family']}, {match['volts']} is the voltage",
            plausibility=0.95,
            facts=(Fact(name="rated power", value=Quantity(power, "W"), typical=True),) if power else (),
            doubts=(f"not read: {rest}",) if rest else (),
        ),
    )


def _registered(text: str) -> tuple[Reading, ...]:
    match = _REGISTERED.fullmatch(text.upper())
    if match is None:
        return ()
    number, letter = int(match["number"]), match["letter"] or ""
    first, volts_list, widths = (
        (4728, _FROM_4728, _WIDTH_4728) if number < 5000 else (5221, _FROM_5221, _WIDTH_5221)
    )
    if not first <= number < first + len(volts_list):
        raise ImpossibleValue(
            f"{text!r} is outside the registered Zener numbers",
            remedy=f"this series runs from {first} to {first + len(volts_list) - 1}",
        )
    volts = float(volts_list[number - first])
    width = widths.get(letter)
    return (
        Reading(
            what="zener diode",
            value=Quantity(volts, "V"),
            limits=limits_from(volts, Tolerance(minus=width, plus=width)) if width else None,
            how=f"number {number} of the series that begins with {first}",
            plausibility=0.95,
            facts=(
                Fact(name="rated power", value=Quantity(1.0 if first == 4728 else 0.5, "W"), typical=True),
            ),
        ),
    )


def _plain(text: str) -> tuple[Reading, ...]:
    match = _PLAIN.fullmatch(text)
    if match is None or not int(match[1] + match[2]):
        return ()
    number = f"{match[1]}.{match[2]}"
    return (
        Reading(
            what="zener diode",
            value=Quantity(decimal_value(number, 0), "V"),
            how=f"{number} V (V marks the decimal point)",
            plausibility=0.8,
        ),
    )


MEMBERS = (
    Decoder(
        name="zener_family",
        title="Zener part number with its voltage",
        about=("zener diode",),
        source="makers' part numbers",
        from_memory=True,
        example="BZX55C5V1",
        read=_family,
    ),
    Decoder(
        name="zener_registered",
        title="registered Zener number",
        about=("zener diode",),
        source="JEDEC registered numbers 1N4728 to 1N4764 and 1N5221 to 1N5281",
        from_memory=True,
        example="1N4733A",
        read=_registered,
    ),
    Decoder(
        name="zener_print",
        title="voltage printed on a Zener diode",
        about=("zener diode",),
        source="common practice, no source",
        from_memory=True,
        example="5V1",
        read=_plain,
    ),
)
