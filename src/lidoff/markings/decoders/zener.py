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

# 1N4728 to 1N4764 and 1N5221 to 1N5281, in the order of the numbers: voltage [V] and test current [mA], read in makers'
# data sheets; the currents of 1N4752 to 1N4764 are from memory, those above 1N5267 are left out.
_FROM_4728 = (
    (3.3, 76), (3.6, 69), (3.9, 64), (4.3, 58), (4.7, 53), (5.1, 49), (5.6, 45), (6.2, 41), (6.8, 37), (7.5, 34),
    (8.2, 31), (9.1, 28), (10, 25), (11, 23), (12, 21), (13, 19), (15, 17), (16, 15.5), (18, 14), (20, 12.5),
    (22, 11.5), (24, 10.5), (27, 9.5), (30, 8.5), (33, 7.5), (36, 7), (39, 6.5), (43, 6), (47, 5.5), (51, 5), (56, 4.5),
    (62, 4), (68, 3.7), (75, 3.3), (82, 3), (91, 2.8), (100, 2.5),
)  # fmt: skip
_FROM_5221 = (
    (2.4, 20), (2.5, 20), (2.7, 20), (2.8, 20), (3.0, 20), (3.3, 20), (3.6, 20), (3.9, 20), (4.3, 20), (4.7, 20),
    (5.1, 20), (5.6, 20), (6.0, 20), (6.2, 20), (6.8, 20), (7.5, 20), (8.2, 20), (8.7, 20), (9.1, 20), (10, 20),
    (11, 20), (12, 20), (13, 9.5), (14, 9), (15, 8.5), (16, 7.8), (17, 7.4), (18, 7), (19, 6.6), (20, 6.2), (22, 5.6),
    (24, 5.2), (25, 5), (27, 4.6), (28, 4.5), (30, 4.2), (33, 3.8), (36, 3.4), (39, 3.2), (43, 3), (47, 2.7), (51, 2.5),
    (56, 2.2), (60, 2.1), (62, 2), (68, 1.8), (75, 1.7), (82, 0), (87, 0), (91, 0), (100, 0), (110, 0), (120, 0),
    (130, 0), (140, 0), (150, 0), (160, 0), (170, 0), (180, 0), (190, 0), (200, 0),
)  # fmt: skip
_LAST_READ_CURRENT = 4751
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
    first, table, widths = (
        (4728, _FROM_4728, _WIDTH_4728) if number < 5000 else (5221, _FROM_5221, _WIDTH_5221)
    )
    if not first <= number < first + len(table):
        raise ImpossibleValue(
            f"{text!r} is outside the registered Zener numbers",
            remedy=f"this series runs from {first} to {first + len(table) - 1}",
        )
    volts, milliamperes = table[number - first]
    width = widths.get(letter)
    facts = [Fact(name="rated power", value=Quantity(1.0 if first == 4728 else 0.5, "W"), typical=True)]
    if milliamperes:
        facts.append(Fact(name="test current", value=Quantity(milliamperes / 1000, "A")))
    return (
        Reading(
            what="zener diode",
            value=Quantity(volts, "V"),
            limits=limits_from(volts, Tolerance(minus=width, plus=width)) if width else None,
            how=f"number {number} of the series that begins with {first}",
            plausibility=0.95,
            facts=tuple(facts),
            from_memory=_LAST_READ_CURRENT < number < 5000,
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
        source="makers' data sheets of 1N4728 to 1N4764 and 1N5221 to 1N5281",
        from_memory=False,
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
