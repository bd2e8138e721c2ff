"""Rectifiers, Schottky diodes, bridges and surge diodes whose number tells current and voltage: 1N4007, SS14, MB6S."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value
from lidoff.quantities import Quantity

# Voltages by the last digit of the old rectifier numbers, 1 to 7, and by letter of chip rectifiers; makers' data sheets,
# from memory [V].
_BY_DIGIT = {"1": 50, "2": 100, "3": 200, "4": 400, "5": 600, "6": 800, "7": 1000}
_BY_LETTER = {"A": 50, "B": 100, "D": 200, "G": 400, "J": 600, "K": 800, "M": 1000}
_1N540 = {"0": 50, "1": 100, "2": 200, "3": 300, "4": 400, "5": 500, "6": 600, "7": 800, "8": 1000}
_SCHOTTKY_1N = {
    "1N5817": (1, 20), "1N5818": (1, 30), "1N5819": (1, 40),
    "1N5820": (3, 20), "1N5821": (3, 30), "1N5822": (3, 40),
}  # fmt: skip
_SWITCHING = {"1N4148": (0.15, 100), "1N914": (0.15, 100), "1N4448": (0.15, 100), "LL4148": (0.15, 100)}
# Glass bodies are too small for the whole number, and carry its digits alone, often over two lines (common practice).
_ON_GLASS = {"4148": ("1N4148", 0.9), "4448": ("1N4448", 0.9), "914": ("1N914", 0.4)}
_SPEED = {
    "S": "rectifier", "GS": "rectifier", "RS": "fast rectifier", "US": "very fast rectifier",
    "HS": "very fast rectifier", "ES": "very fast rectifier",
}  # fmt: skip
_BRIDGE_CODES = {"005": 50, "01": 100, "02": 200, "04": 400, "06": 600, "08": 800, "10": 1000}

_Found = tuple[str, float, float]  # words, current [A], reverse voltage [V]


def _old_rectifier(match: re.Match[str]) -> _Found:
    family = match["family"]
    words = "rectifier" if family.startswith("1N") else "fast rectifier"
    amperes = {"1N400": 1.0, "UF400": 1.0}.get(family)
    return words, amperes or float(family[2:]) / 10, _BY_DIGIT[match["digit"]]


def _chip_rectifier(match: re.Match[str]) -> _Found:
    return _SPEED[match["family"]], float(match["amperes"]), _BY_LETTER[match["letter"]]


def _schottky(match: re.Match[str]) -> _Found:
    volts = float(match["volts"])
    return "Schottky diode", float(match["amperes"]), volts * 10 if match["family"] in ("SS", "SK") else volts


def _mbr(match: re.Match[str]) -> _Found:
    digits = match["digits"]
    whole = digits[:1] if len(digits) == 3 else digits[:2]
    amperes = 0.5 if whole == "05" else float(whole)
    return "Schottky diode", amperes, float(digits[len(whole) :])


def _small_bridge(match: re.Match[str]) -> _Found:
    return "bridge rectifier", 1.0 if match["family"] == "ABS" else 0.5, float(match["hundreds"]) * 100


def _round_bridge(match: re.Match[str]) -> _Found:
    return "bridge rectifier", 1.0, _BY_DIGIT[match["digit"]]


def _power_bridge(match: re.Match[str]) -> _Found:
    return "bridge rectifier", float(match["amperes"]), _BRIDGE_CODES[match["code"]]


_RULES: tuple[tuple[re.Pattern[str], Callable[[re.Match[str]], _Found], float], ...] = (
    (
        re.compile(r"(?P<family>1N400|UF400|FR10|FR15|FR20|FR30)(?P<digit>[1-7])", re.ASCII),
        _old_rectifier,
        0.95,
    ),
    (
        re.compile(r"(?P<family>GS|RS|US|HS|ES|S)(?P<amperes>[1-9]|10)(?P<letter>[ABDGJKM])", re.ASCII),
        _chip_rectifier,
        0.8,
    ),
    (re.compile(r"(?P<family>SS|SK)(?P<amperes>[1-9])(?P<volts>[2-9]|1[0-9]|20)", re.ASCII), _schottky, 0.9),
    (re.compile(r"(?P<family>SR|SB)(?P<amperes>[1-9])(?P<volts>[2-9]0|1\d0|200)", re.ASCII), _schottky, 0.8),
    (re.compile(r"(?P<family>MBRS?)(?P<digits>\d{3,5})(?:CT|FCT|PT)?", re.ASCII), _mbr, 0.9),
    (re.compile(r"(?P<family>MB|ABS)(?P<hundreds>[1-9]|10)[SFM]?", re.ASCII), _small_bridge, 0.9),
    (re.compile(r"(?P<family>DB10)(?P<digit>[1-7])S?", re.ASCII), _round_bridge, 0.95),
    (
        re.compile(
            r"(?:KBPC|KBP|KBU|KBL|KBJ|GBU|GBJ|GBL)(?P<amperes>[1-9]\d?)(?P<code>005|01|02|04|06|08|10)",
            re.ASCII,
        ),
        _power_bridge,
        0.95,
    ),
)

_SURGE = re.compile(
    r"(?P<family>SMAJ|SMBJ|SMCJ|P4KE|P6KE|P4SMA|P6SMB|1\.5KE|1V5KE|1\.5SMC)(?P<volts>\d{1,3}(?:\.\d)?)(?P<both>CA|C|A)?",
    re.ASCII,
)
_SURGE_WATTS = {"SMAJ": 400, "P4KE": 400, "P4SMA": 400, "SMBJ": 600, "P6KE": 600, "P6SMB": 600}


def _read(text: str) -> tuple[Reading, ...]:
    number = text.upper()
    if number in _SCHOTTKY_1N:
        return (_diode("Schottky diode", *_SCHOTTKY_1N[number], 0.95),)
    if number in _SWITCHING:
        return (_diode("switching diode", *_SWITCHING[number], 0.95),)
    if number.replace(" ", "") in _ON_GLASS:
        return (_on_glass(number.replace(" ", "")),)
    if number[:5] == "1N540" and number[5:] in _1N540:
        return (_diode("rectifier", 3.0, _1N540[number[5:]], 0.95),)
    readings = []
    for form, rule, plausibility in _RULES:
        match = form.fullmatch(number)
        if match is not None:
            words, current, volts = rule(match)
            if current > 0 and volts > 0:
                readings.append(_diode(words, current, volts, plausibility))
    return tuple(readings)


def _on_glass(digits: str) -> Reading:
    number, plausibility = _ON_GLASS[digits]
    return replace(
        _diode(f"switching diode {number}", *_SWITCHING[number], plausibility),
        how=f"{number} without its 1N, as small glass bodies carry it",
        doubts=("only on a glass body with a ring at one end",),
    )


def _diode(words: str, amperes: float, volts: float, plausibility: float) -> Reading:
    return Reading(
        what="diode",
        says=words,
        how="current and voltage from the type number",
        plausibility=plausibility,
        facts=(
            Fact(name="repetitive reverse voltage", value=Quantity(volts, "V")),
            Fact(name="average forward current", value=Quantity(amperes, "A")),
        ),
    )


def _surge(text: str) -> tuple[Reading, ...]:
    match = _SURGE.fullmatch(text.upper())
    if match is None:
        return ()
    volts = decimal_value(match["volts"], 0)
    if volts == 0:
        return ()
    standing = match["family"].startswith("SM") and match["family"].endswith("J")
    watts = _SURGE_WATTS.get(match["family"], 1500)
    return (
        Reading(
            what="surge diode",
            says="clamps both polarities" if (match["both"] or "").startswith("C") else "clamps one polarity",
            value=Quantity(volts, "V"),
            how="the number is the stand-off voltage" if standing else "the number is the breakdown voltage",
            plausibility=0.95,
            facts=(Fact(name="peak pulse power, 10/1000 µs", value=Quantity(watts, "W"), typical=True),),
        ),
    )


MEMBERS = (
    Decoder(
        name="diode_number",
        title="type number of a diode or bridge",
        about=("diode",),
        source="makers' type numbers",
        from_memory=True,
        example="1N4007",
        read=_read,
    ),
    Decoder(
        name="surge_diode_number",
        title="type number of a surge diode",
        about=("surge diode",),
        source="makers' type numbers",
        from_memory=True,
        example="SMBJ5.0A",
        read=_surge,
    ),
)
