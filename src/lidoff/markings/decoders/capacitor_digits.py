"""Digit codes on capacitors: 104, 104K, 47J, 2A104J, and tantalum prints with a voltage letter."""

from __future__ import annotations

import re

from lidoff.markings.capacitance import (
    Capacitance,
    from_digit_code,
    from_plain_number,
    voltage_fact,
    voltage_of_code,
)
from lidoff.markings.decoder import Decoder
from lidoff.markings.digits import read_digits
from lidoff.markings.meaning import Reading
from lidoff.markings.text import power_product
from lidoff.quantities import Quantity

_VOLTAGE_FIRST = re.compile(r"([0-3])([A-Z]) ?(\d{3}[A-Z]?)", re.ASCII)
_RECALLED_VOLTS = "eTH"
_USUAL_LETTERS = "FGHJKMNQSTZ"
_TEN_PICOFARADS = 10e-12
_TANTALUM = re.compile(r"(?:(?P<before>[A-Za-z]) ?)?(?P<code>\d{3})(?: ?(?P<after>[A-Za-z]))?", re.ASCII)

# Rated voltage of tantalum chips by letter [V]: G to V read in a maker's data sheet (TEH series), e, T and H from memory.
_TANTALUM_VOLTS = {
    "e": 2.5, "G": 4.0, "J": 6.3, "A": 10.0, "C": 16.0, "D": 20.0, "E": 25.0, "V": 35.0,
    "T": 50.0, "H": 50.0,
}  # fmt: skip


def _read(text: str) -> tuple[Reading, ...]:
    found = from_digit_code(text)
    if found is None:
        return ()
    letter = next((sign for sign in text if sign.isalpha()), "")
    if letter and letter not in _USUAL_LETTERS and found.farads > _TEN_PICOFARADS:
        return (_capacitor(found, 0.3, (f"so narrow a tolerance as {letter} is rare on capacitors",)),)
    if letter and not text[2].isdecimal():
        return (
            _capacitor(found, 0.4, ("two digits for plain picofarads are seen on small ceramic discs only",)),
        )
    return (_capacitor(found, 0.85 if letter else 0.7, ()),)


def _plain(text: str) -> tuple[Reading, ...]:
    found = from_plain_number(text)
    if found is None:
        return ()
    if text.isdecimal():
        return (_capacitor(found, 0.5, ("only on a small ceramic disc; a bare number may be anything",)),)
    doubts = () if found.limits else ("only on a film or disc capacitor",)
    return (_capacitor(found, 0.85 if text.lstrip("0").startswith(".") else 0.6, doubts),)


def _capacitor(found: Capacitance, plausibility: float, doubts: tuple[str, ...]) -> Reading:
    return Reading(
        what="capacitor",
        value=Quantity(value=found.farads, unit="F"),
        limits=found.limits,
        how=found.how,
        plausibility=plausibility,
        facts=(voltage_fact(found.volts),) if found.volts else (),
        doubts=doubts,
        in_series=True,
    )


def _with_voltage_code(text: str) -> tuple[Reading, ...]:
    match = _VOLTAGE_FIRST.fullmatch(text)
    if match is None:
        return ()
    volts = voltage_of_code(match[1], match[2])
    found = from_digit_code(match[3])
    if volts is None or found is None:
        return ()
    return (
        Reading(
            what="capacitor",
            value=Quantity(value=found.farads, unit="F"),
            limits=found.limits,
            how=f"{match[1]}{match[2]} is {volts:g} V, then {found.how}",
            plausibility=0.95,
            facts=(voltage_fact(volts, kind="DC"),),
            in_series=True,
        ),
    )


def _tantalum(text: str) -> tuple[Reading, ...]:
    match = _TANTALUM.fullmatch(text)
    if match is None or bool(match["before"]) == bool(match["after"]):
        return ()
    letter = match["before"] or match["after"]
    code = read_digits(match["code"], digits=3)
    if code is None or not 4 <= code.exponent <= 8 or letter not in _TANTALUM_VOLTS:
        return ()
    return (
        Reading(
            what="capacitor",
            value=Quantity(value=code.value(-12), unit="F"),
            how=f"{power_product(code.digits, code.exponent, 'pF')}, {letter} is {_TANTALUM_VOLTS[letter]:g} V",
            plausibility=0.6,
            facts=(voltage_fact(_TANTALUM_VOLTS[letter], kind="DC"),),
            doubts=("makers' letters differ, only on a tantalum or polymer chip with a polarity bar",),
            from_memory=letter in _RECALLED_VOLTS,
            in_series=True,
        ),
    )


MEMBERS = (
    Decoder(
        name="capacitor_digits",
        title="capacitor digit code",
        about=("capacitor",),
        source="IEC 60062, digit code in picofarads",
        from_memory=True,
        example="104K",
        read=_read,
    ),
    Decoder(
        name="capacitor_plain_number",
        title="bare number on a film or disc capacitor",
        about=("capacitor",),
        source="common practice, no source",
        from_memory=True,
        example=".22J",
        read=_plain,
    ),
    Decoder(
        name="capacitor_voltage_code",
        title="capacitor digit code with voltage code",
        about=("capacitor",),
        source="IEC 60062 digits; voltage letters after JIS C 5101 and makers' tables",
        from_memory=True,
        example="2A104J",
        read=_with_voltage_code,
    ),
    Decoder(
        name="tantalum_code",
        title="tantalum capacitor code",
        about=("capacitor",),
        source="a maker's data sheet of tantalum chips, voltage letters",
        from_memory=False,
        example="107C",
        read=_tantalum,
    ),
)
