"""Letter-and-digit codes of capacitance (4n7, 100nJ63) and the EIA-198 letter code of chips (A5)."""

from __future__ import annotations

import re

from lidoff.markings.capacitance import from_letter_code, voltage_fact
from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Reading
from lidoff.markings.text import decimal_value, power_of_ten
from lidoff.quantities import Quantity

_R_POINT = re.compile(r"(\d{0,2})R(\d{1,3})", re.ASCII)
_CHIP = re.compile(r"([A-Za-z])(\d)", re.ASCII)

# EIA-198, capacitance letters of ceramic chips, read in two public tables; a third gives other small letters.
_MANTISSA = {
    "A": "1.0",
    "B": "1.1",
    "C": "1.2",
    "D": "1.3",
    "E": "1.5",
    "F": "1.6",
    "G": "1.8",
    "H": "2.0",
    "J": "2.2",
    "K": "2.4",
    "L": "2.7",
    "M": "3.0",
    "N": "3.3",
    "P": "3.6",
    "Q": "3.9",
    "R": "4.3",
    "S": "4.7",
    "T": "5.1",
    "U": "5.6",
    "V": "6.2",
    "W": "6.8",
    "X": "7.5",
    "Y": "8.2",
    "Z": "9.1",
    "a": "2.5",
    "b": "3.5",
    "d": "4.0",
    "e": "4.5",
    "f": "5.0",
    "m": "6.0",
    "n": "7.0",
    "t": "8.0",
    "y": "9.0",
}


_SMALL_LETTER_DOUBT = ("tables differ on the small letters",)


def _read(text: str) -> tuple[Reading, ...]:
    found = from_letter_code(text)
    if found is None:
        return ()
    capitals = any(sign in text for sign in "PNU")
    return (
        Reading(
            what="capacitor",
            value=Quantity(value=found.farads, unit="F"),
            limits=found.limits,
            how=found.how,
            plausibility=0.6 if capitals else 0.9,
            facts=(voltage_fact(found.volts),) if found.volts else (),
            in_series=True,
        ),
    )


def _r_point(text: str) -> tuple[Reading, ...]:
    match = _R_POINT.fullmatch(text)
    if match is None or not (match[1] + match[2]).strip("0"):
        return ()
    number = f"{match[1] or '0'}.{match[2]}"
    return (
        Reading(
            what="capacitor",
            value=Quantity(value=decimal_value(number, -12), unit="F"),
            how=f"{number} pF, R marks the decimal point",
            plausibility=0.4,
            doubts=("chip capacitors seldom carry a print",),
            in_series=True,
        ),
    )


def _chip(text: str) -> tuple[Reading, ...]:
    match = _CHIP.fullmatch(text)
    if match is None or match[1] not in _MANTISSA:
        return ()
    exponent = -1 if match[2] == "9" else int(match[2])
    mantissa = _MANTISSA[match[1]]
    return (
        Reading(
            what="capacitor",
            value=Quantity(value=decimal_value(mantissa, exponent - 12), unit="F"),
            how=f"{match[1]} is {mantissa}, × {power_of_ten(exponent)} pF",
            plausibility=0.3,
            doubts=(
                "chip capacitors seldom carry a print",
                *(_SMALL_LETTER_DOUBT if match[1].islower() else ()),
            ),
        ),
    )


MEMBERS = (
    Decoder(
        name="capacitor_letters",
        title="letter-and-digit capacitor code",
        about=("capacitor",),
        source="IEC 60062, letter and digit code for capacitance",
        from_memory=True,
        example="4n7",
        read=_read,
    ),
    Decoder(
        name="capacitor_r_point",
        title="picofarads with R for the decimal point",
        about=("capacitor",),
        source="IEC 60062, digit code in picofarads",
        from_memory=True,
        example="4R7",
        read=_r_point,
    ),
    Decoder(
        name="capacitor_chip_letter",
        title="letter code of ceramic chips",
        about=("capacitor",),
        source="EIA-198, capacitance letters (standard not seen; read in public tables)",
        from_memory=False,
        example="A5",
        read=_chip,
    ),
)
