"""Letter-and-digit codes of resistance: 4K7, R047, 47R, 0R0, 5W 0R47 J."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.letters import RESISTANCE_LETTERS, read_letters
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value
from lidoff.markings.tolerance import TOLERANCE_LETTERS, limits_of_letter
from lidoff.quantities import Quantity

_WITH_TOLERANCE = re.compile(r"(.*[\dLRKMGTErkm])([A-Z])", re.ASCII)
# Letters outside IEC 60062 that are met in print or typing: (power of ten, plausibility, doubt).
_OTHER_LETTERS = {
    "E": (0, 0.4, "E for the ohm is a maker's habit, not of IEC 60062"),
    "r": (0, 0.8, ""),
    "k": (3, 0.85, ""),
    "m": (-3, 0.3, "a small m would be milliohms; M is megohms"),
}
_POWER = re.compile(
    r"(?P<watts>\d{1,3}(?:\.\d+)?) ?W ?(?P<ohms>\d*[RKMrk]?\d*|\d+(?:\.\d+)?) ?(?P<unit>[kKM]?Ω|ohm)? ?(?P<letter>[FGJKM])?",
    re.ASCII,
)


_PLAIN = re.compile(
    r"(?P<number>\d{1,4}(?:[.,]\d{1,3})?) ?(?P<prefix>[kKMR])?(?P<ohm>Ω|ohms?|OHMS?)? ?(?P<letter>[FGJKM])?",
    re.ASCII,
)


def _read(text: str) -> tuple[Reading, ...]:
    code = text.removesuffix("Ω").rstrip()
    readings = [_resistor(code, "")]
    match = _WITH_TOLERANCE.fullmatch(code)
    if match is not None and match[2] in TOLERANCE_LETTERS and not match[1].isdigit():
        readings.append(_resistor(match[1], match[2]))
    return tuple(reading for reading in readings if reading is not None)


def _resistor(code: str, letter: str) -> Reading | None:
    found = read_letters(code)
    if found is None:
        return None
    if found.letter in RESISTANCE_LETTERS:
        exponent, plausibility, doubt = RESISTANCE_LETTERS[found.letter], 0.85, ""
        if found.letter == "L":
            plausibility, doubt = 0.5, "L for milliohm is used on current-sense parts only"
    elif found.letter in _OTHER_LETTERS:
        exponent, plausibility, doubt = _OTHER_LETTERS[found.letter]
    else:
        return None
    ohms = found.value(exponent)
    if ohms == 0:
        return _link(code)
    tolerance = f", {letter} is the tolerance" if letter else ""
    return Reading(
        what="resistor",
        value=Quantity(value=ohms, unit="Ω"),
        limits=limits_of_letter(ohms, letter) if letter else None,
        how=found.how(exponent, "Ω") + tolerance,
        plausibility=plausibility,
        doubts=(doubt,) if doubt else (),
        in_series=True,
    )


def _link(code: str) -> Reading:
    return Reading(
        what="resistor",
        value=Quantity(value=0.0, unit="Ω"),
        how=f"{code}: zero-ohm link",
        plausibility=0.95,
    )


def _power(text: str) -> tuple[Reading, ...]:
    match = _POWER.fullmatch(text)
    if match is None or not match["ohms"] or not any(sign.isdigit() for sign in match["ohms"]):
        return ()
    ohms = _printed_ohms(match["ohms"], match["unit"] or "")
    watts = float(match["watts"])
    if ohms is None or watts == 0:
        return ()
    letter = match["letter"] or ""
    return (
        Reading(
            what="resistor",
            value=Quantity(value=ohms, unit="Ω"),
            limits=limits_of_letter(ohms, letter) if letter else None,
            how=f"power {match['watts']} W, then {match['ohms']}{match['unit'] or ''}",
            plausibility=0.85,
            facts=(Fact(name="rated power", value=Quantity(value=watts, unit="W")),),
            in_series=ohms > 0,
        ),
    )


def _plain(text: str) -> tuple[Reading, ...]:
    match = _PLAIN.fullmatch(text)
    if match is None or not (match["ohm"] or (match["prefix"] and "." in match["number"])):
        return ()
    number = match["number"].replace(",", ".")
    ohms = _printed_ohms(number, match["prefix"] or "")
    if ohms is None:
        return ()
    letter = match["letter"] or ""
    return (
        Reading(
            what="resistor",
            value=Quantity(ohms, "Ω"),
            limits=limits_of_letter(ohms, letter) if letter else None,
            how=f"printed {text}",
            plausibility=0.95 if match["ohm"] else 0.8,
            in_series=ohms > 0,
        ),
    )


def _printed_ohms(number: str, unit: str) -> float | None:
    exponent = {"k": 3, "K": 3, "M": 6}.get(unit[:1], 0)
    found = read_letters(number)
    if found is not None and not unit:
        letter = found.letter.upper()
        return found.value(RESISTANCE_LETTERS[letter]) if letter in RESISTANCE_LETTERS else None
    return decimal_value(number, exponent) if number.replace(".", "", 1).isdigit() else None


MEMBERS = (
    Decoder(
        name="resistor_letters",
        title="letter-and-digit resistor code",
        about=("resistor",),
        source="IEC 60062, letter and digit code for resistance",
        from_memory=True,
        example="4K7",
        read=_read,
    ),
    Decoder(
        name="resistor_print",
        title="printed resistance",
        about=("resistor",),
        source="common practice, no source",
        from_memory=True,
        example="4.7kΩ",
        read=_plain,
    ),
    Decoder(
        name="resistor_power_print",
        title="print on a power resistor",
        about=("resistor",),
        source="common practice, no source; value by IEC 60062",
        from_memory=True,
        example="5W 0R47 J",
        read=_power,
    ),
)
