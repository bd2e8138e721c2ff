"""Digit and letter codes on inductors, in microhenries: 100, 101K, 4R7, R47, 6N8."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.digits import read_digits
from lidoff.markings.meaning import Reading
from lidoff.markings.text import decimal_value, power_of_ten, power_product
from lidoff.markings.tolerance import limits_of_letter
from lidoff.quantities import Quantity

_CODE = re.compile(r"(?P<code>\d{3}|\d{0,3}[RN]\d{0,3})(?P<letter>[A-Z])?", re.ASCII)
_TOLERANCES = "GHJKMN"
_PRINTED = re.compile(r"(?P<number>\d{1,4}(?:[.,]\d{1,3})?) ?(?P<unit>n|u|µ|m)H", re.ASCII)
_EXPONENTS = {"n": -9, "u": -6, "µ": -6, "m": -3}


def _read(text: str) -> tuple[Reading, ...]:
    match = _CODE.fullmatch(text)
    if match is None or (match["letter"] and match["letter"] not in _TOLERANCES):
        return ()
    code, letter = match["code"], match["letter"] or ""
    digits = read_digits(code, digits=3)
    if digits is not None:
        henries, how = digits.value(-6), power_product(digits.digits, digits.exponent, "µH")
    elif code.isdecimal() or not any(sign.isdecimal() for sign in code):
        return ()
    else:
        point = "R" if "R" in code else "N"
        whole, _, fraction = code.partition(point)
        number = f"{whole or '0'}.{fraction or '0'}"
        unit = "µH" if point == "R" else "nH"
        henries = decimal_value(number, -6 if point == "R" else -9)
        how = f"{number} {unit}, {point} marks the decimal point"
    if henries == 0:
        return ()
    limits = limits_of_letter(henries, letter) if letter else None
    return (
        Reading(
            what="inductor",
            value=Quantity(value=henries, unit="H"),
            limits=limits,
            how=f"{how}, {letter} is {limits.printed}" if limits else how,
            plausibility=0.55,
            in_series=True,
        ),
    )


def _printed(text: str) -> tuple[Reading, ...]:
    match = _PRINTED.fullmatch(text)
    if match is None:
        return ()
    exponent = _EXPONENTS[match["unit"]]
    number = match["number"].replace(",", ".")
    henries = decimal_value(number, exponent)
    if henries == 0:
        return ()
    return (
        Reading(
            what="inductor",
            value=Quantity(value=henries, unit="H"),
            how=f"printed {number} × {power_of_ten(exponent)} H",
            plausibility=0.95,
            in_series=True,
        ),
    )


MEMBERS = (
    Decoder(
        name="inductor_code",
        title="inductor code in microhenries",
        about=("inductor",),
        source="IEC 60062 applied to microhenries; common practice, no source",
        from_memory=True,
        example="101K",
        read=_read,
    ),
    Decoder(
        name="inductor_print",
        title="printed inductance",
        about=("inductor",),
        source="SI prefixes",
        from_memory=False,
        example="22µH",
        read=_printed,
    ),
)
