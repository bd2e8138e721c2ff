"""Pieces of capacitor prints: values, rated voltages, dielectrics."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from lidoff.markings.digits import read_digits
from lidoff.markings.letters import CAPACITANCE_LETTERS, read_letters
from lidoff.markings.meaning import Fact, Limits
from lidoff.markings.text import decimal_value, power_product
from lidoff.markings.tolerance import TOLERANCE_LETTERS, limits_of_capacitance
from lidoff.quantities import Quantity

__all__ = [
    "Capacitance",
    "dielectric_facts",
    "from_digit_code",
    "from_letter_code",
    "from_plain_number",
    "from_printed_value",
    "voltage_fact",
    "voltage_of_code",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitance:
    """A capacitance read from one piece of print.

    Parameters
    ----------
    farads : float
        The value [F].
    limits : Limits or None
        Where a tolerance letter stands with it.
    how : str
        How it was read.
    volts : float or None
        Where the same piece of print tells the rated voltage [V].
    """

    farads: float
    limits: Limits | None
    how: str
    volts: float | None = None


# Behind the code: the tolerance's letter, and the rated voltage.
_BEHIND = r"(?P<letter>[A-Z])?(?P<volts>\d{2,4}|\d{0,4}(?:\.\d)?k?V)?"
_DIGIT_CODE = re.compile(r"(?P<code>\d{2,3})" + _BEHIND, re.ASCII)
_PLAIN_DECIMAL = re.compile(r"(?P<number>\d?\.\d{1,4})" + _BEHIND, re.ASCII)
_PLAIN_WHOLE = re.compile(r"[1-9]\d?", re.ASCII)
_LETTER_CODE = re.compile(r"(?P<code>\d{0,4}[pnuµmPNU]\d{0,4})" + _BEHIND, re.ASCII)
_PRINTED = re.compile(
    r"(?P<number>\d{0,6}[.,]?\d{0,4}) ?(?P<unit>p|n|u|µ|m|M|U|N|P|MM|µµ|uu)(?:FD?|fd?)", re.ASCII
)
_PRINTED_EXPONENT = {"M": -6, "MM": -12, "µµ": -12, "uu": -12}

# Third digit of a three-digit code in picofarads (IEC 60062, from memory): 8 and 9 are no powers of ten.
_SMALL = {8: -2, 9: -1}

# Rated voltage as digit and letter: digit is the power of ten, letter the mantissa (JIS C 5101 and makers' tables,
# from memory).
_VOLTAGE_LETTERS: Mapping[str, float] = MappingProxyType(
    {
        "A": 1.0, "B": 1.25, "C": 1.6, "D": 2.0, "P": 2.2, "E": 2.5, "F": 3.15, "V": 3.5, "G": 4.0,
        "W": 4.5, "H": 5.0, "J": 6.3, "K": 8.0, "Q": 1.1,
    }
)  # fmt: skip


def from_digit_code(text: str) -> Capacitance | None:
    """Capacitance of a print such as ``"104"``, ``"104K"``, ``"47J"``, ``"104J100V"``; None where it is none.

    Parameters
    ----------
    text : str
        One piece of print without blanks.

    Returns
    -------
    Capacitance or None
        None where the print is of another form.

    Notes
    -----
    Picofarads; third digit 9 is × 0.1 and 8 is × 0.01 (IEC 60062, from memory). Two digits are plain picofarads and
    need a tolerance letter, since a bare number says nothing.
    """
    match = _complete(_DIGIT_CODE.fullmatch(text))
    if match is None:
        return None
    code, letter = match["code"], match["letter"] or ""
    if len(code) == 2:
        if not letter or code[0] == "0":
            return None
        farads, how = decimal_value(code, -12), f"{code} pF"
    else:
        found = read_digits(code, digits=3)
        if found is None:
            return None
        exponent = _SMALL.get(found.exponent, found.exponent)
        farads, how = decimal_value(found.digits, exponent - 12), power_product(found.digits, exponent, "pF")
    return _capacitance(farads, how, letter, match["volts"])


def from_letter_code(text: str) -> Capacitance | None:
    """Capacitance of a print such as ``"4n7"``, ``"n47"``, ``"100nJ63"``; None where it is none.

    Parameters
    ----------
    text : str
        One piece of print without blanks.

    Returns
    -------
    Capacitance or None
        None where the print is of another form.

    Notes
    -----
    IEC 60062, from memory. Capitals P, N and U are taken for p, n and u.
    """
    match = _complete(_LETTER_CODE.fullmatch(text))
    if match is None:
        return None
    found = read_letters(match["code"])
    if found is None or (match["letter"] == "F" and "." not in found.number):
        return None  # the F of 100nF is the farad, that of 4n7F would be a tolerance
    exponent = _exponent(found.letter)
    return _capacitance(
        found.value(exponent), found.how(exponent, "F"), match["letter"] or "", match["volts"]
    )


def from_plain_number(text: str) -> Capacitance | None:
    """Capacitance of a bare number such as ``".1"``, ``"0.047"``, ``".22J"``, ``"47"``; None where it is none.

    Parameters
    ----------
    text : str
        One piece of print without blanks.

    Returns
    -------
    Capacitance or None
        None where the print is of another form.

    Notes
    -----
    Decimals are microfarads, on films; one or two whole digits are picofarads, on discs (common practice, no source).
    """
    if _PLAIN_WHOLE.fullmatch(text):
        return _capacitance(decimal_value(text, -12), f"{text} pF, the unit left out", "", None)
    match = _complete(_PLAIN_DECIMAL.fullmatch(text))
    if match is None:
        return None
    number = match["number"]
    shown = f"0{number}" if number.startswith(".") else number
    how = f"{shown} µF, the unit left out"
    return _capacitance(decimal_value(shown, -6), how, match["letter"] or "", match["volts"])


def from_printed_value(text: str) -> Capacitance | None:
    """Capacitance of a print with its unit, such as ``"220µF"``, ``".1uF"``, ``"0.47MFD"``; None where it is none.

    Parameters
    ----------
    text : str
        One piece of print without blanks.

    Returns
    -------
    Capacitance or None
        None where the print is of another form.

    Notes
    -----
    M, MF and MFD are old prints for microfarads (common practice, no source).
    """
    match = _PRINTED.fullmatch(text)
    if match is None or not match["number"].strip(".,"):
        return None
    unit = match["unit"]
    exponent = _PRINTED_EXPONENT[unit] if unit in _PRINTED_EXPONENT else _exponent(unit)
    farads = decimal_value(match["number"].replace(",", "."), exponent)
    return Capacitance(farads=farads, limits=None, how=f"printed {text}") if farads else None


def _complete(match: re.Match[str] | None) -> re.Match[str] | None:
    """The match, if its letter is a tolerance, and a voltage stands behind a tolerance letter and has digits."""
    if match is None or (match["letter"] and match["letter"] not in TOLERANCE_LETTERS):
        return None
    volts = match["volts"]
    return None if volts and not (match["letter"] and volts[0].isdecimal()) else match


def _exponent(letter: str) -> int:
    """Power of ten that a letter stands for; capitals P, N and U are taken for p, n and u."""
    return CAPACITANCE_LETTERS[letter.lower() if letter in "PNU" else letter]


def _capacitance(farads: float, how: str, letter: str, volts: str | None) -> Capacitance | None:
    if farads == 0:
        return None
    limits = limits_of_capacitance(farads, letter) if letter else None
    if letter:
        how = f"{how}, {letter} is {limits.printed if limits else 'no tolerance'}"
    return Capacitance(farads=farads, limits=limits, how=how, volts=_volts(volts) if volts else None)


def _volts(text: str) -> float | None:
    number, kilo = text.removesuffix("V"), 0
    if number.endswith("k"):
        number, kilo = number[:-1], 3
    return decimal_value(number, kilo) or None


def voltage_of_code(digit: str, letter: str) -> float | None:
    """Rated voltage of a code such as ``2A`` (100 V).

    Parameters
    ----------
    digit : str
        Power of ten, one digit from 0 to 3.
    letter : str
        Mantissa, one capital letter.

    Returns
    -------
    float or None
        Voltage [V]; None where no code reads so.

    Examples
    --------
    >>> voltage_of_code("2", "A"), voltage_of_code("0", "J")
    (100.0, 6.3)
    """
    mantissa = _VOLTAGE_LETTERS.get(letter)
    if mantissa is None or digit not in "0123":
        return None
    return decimal_value(f"{mantissa:g}", int(digit))


def voltage_fact(volts: float, *, kind: str = "") -> Fact:
    """Rated voltage as a fact.

    Parameters
    ----------
    volts : float
        [V].
    kind : str
        ``"AC"``, ``"DC"`` or empty where the print does not tell.

    Returns
    -------
    Fact
        Named ``"rated voltage"``.
    """
    return Fact(name="rated voltage", value=Quantity(value=volts, unit="V"), text=kind)


# EIA-198, class 2 and 3 dielectrics, read in a public table: coldest, hottest [°C], greatest change over that range.
_COLDEST = {"X": -55, "Y": -30, "Z": 10}
_HOTTEST = {"2": 45, "4": 65, "5": 85, "6": 105, "7": 125, "8": 150, "9": 200}
_CHANGE = {
    "A": "±1 %", "B": "±1.5 %", "C": "±2.2 %", "D": "±3.3 %", "E": "±4.7 %", "F": "±7.5 %", "P": "±10 %",
    "R": "±15 %", "S": "±22 %", "T": "+22 % −33 %", "U": "+22 % −56 %", "V": "+22 % −82 %",
}  # fmt: skip
# EIA-198, class 1: mantissa and multiplier of the drift [1e-6/K], and its spread. The digit for a multiplier of +1 is
# left out: the public table and memory disagree on it.
_DRIFT = {
    "C": 0.0, "B": 0.3, "L": 0.8, "A": 0.9, "M": 1.0, "P": 1.5, "R": 2.2, "S": 3.3, "T": 4.7, "V": 5.6, "U": 7.5,
}  # fmt: skip
_DRIFT_MULTIPLIER = {"0": -1, "1": -10, "2": -100, "3": -1000, "6": 10, "7": 100, "8": 1000}
_DRIFT_SPREAD = {"G": 30, "H": 60, "J": 120, "K": 250, "L": 500, "M": 1000, "N": 2500}


def dielectric_facts(text: str) -> tuple[Fact, ...]:
    """What a dielectric's code says, or an empty tuple where the text is none.

    Parameters
    ----------
    text : str
        Such as ``"X7R"``, ``"C0G"``, ``"NP0"``, ``"Y5V"``, ``"U2J"``.

    Returns
    -------
    tuple of Fact
        Temperature range and change for class 2 and 3, drift for class 1.

    Notes
    -----
    EIA-198, read in a public table. The change under voltage is not in the code: a class 2 or 3 part may lose more than half of
    its capacitance at its rated voltage (common practice, no source).

    Examples
    --------
    >>> [fact.text for fact in dielectric_facts("X7R")][1:]
    ['±15 % over that range']
    """
    code = text.upper().replace("O", "0")
    if code in ("NP0", "C0G"):
        return (Fact(name="temperature drift", text="0 ± 30 ppm/K (class 1, NP0)"),)
    if len(code) != 3:
        return ()
    first, second, third = code[0], code[1], code[2]
    if first in _COLDEST and second in _HOTTEST and third in _CHANGE:
        return (
            Fact(
                name="temperature range",
                text=f"{_COLDEST[first]} °C to {_HOTTEST[second]} °C".replace("-", "−"),
            ),
            Fact(name="change of capacitance", text=f"{_CHANGE[third]} over that range"),
        )
    if first in _DRIFT and second in _DRIFT_MULTIPLIER and third in _DRIFT_SPREAD:
        drift = _DRIFT[first] * _DRIFT_MULTIPLIER[second]
        return (
            Fact(
                name="temperature drift",
                text=f"{drift:+g} ± {_DRIFT_SPREAD[third]} ppm/K (class 1)".replace("-", "−"),
            ),
        )
    return ()
