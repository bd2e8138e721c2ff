"""Linear regulators whose number tells the voltage: 7805, 78L33, AMS1117-3.3, HT7533, XC6206P332."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value
from lidoff.quantities import Quantity

_THREE_TERMINAL = re.compile(
    r"(?P<maker>[A-Z]{1,3})?(?P<sign>78|79)(?P<size>[LM])?(?P<volts>05|06|08|09|10|12|15|18|24|33)(?P<rest>[A-Z]{0,4})",
    re.ASCII,
)
_1117 = re.compile(
    r"(?P<maker>[A-Z]{2,4})?1117[A-Z]{0,3}[- ]?(?P<volts>ADJ|\d\.\d{1,2}|12|15|18|25|28|33|50)", re.ASCII
)
_TENTHS = re.compile(
    r"(?P<family>HT71|HT73|HT75|XC6206P|ME6211C|AP2112K-|RT9193-|RT9013-)(?P<volts>\d\d|\d\.\d)(?P<rest>[A-Z0-9-]{0,6})",
    re.ASCII,
)

# Greatest current (makers' data sheets, from memory) [A].
_CURRENT = {"": 1.0, "L": 0.1, "M": 0.5}
_FAMILY_CURRENT = {
    "HT71": 0.03, "HT73": 0.25, "HT75": 0.1, "XC6206P": 0.2, "ME6211C": 0.5, "AP2112K-": 0.6, "RT9193-": 0.3,
    "RT9013-": 0.5,
}  # fmt: skip


def _read(text: str) -> tuple[Reading, ...]:
    number = text.upper()
    readings = []
    if (match := _THREE_TERMINAL.fullmatch(number)) is not None:
        readings.append(_three_terminal(match))
    if (match := _1117.fullmatch(number)) is not None:
        readings.append(_low_drop(match))
    if (match := _TENTHS.fullmatch(number)) is not None:
        volts = decimal_value(match["volts"], 0 if "." in match["volts"] else -1)
        if volts:
            readings.append(
                _regulator(volts, _FAMILY_CURRENT[match["family"]], f"{match['volts']} is the voltage", 0.9)
            )
    return tuple(readings)


def _three_terminal(match: re.Match[str]) -> Reading:
    volts = 3.3 if match["volts"] == "33" else float(match["volts"])
    size = match["size"] or ""
    sign = 1 if match["sign"] == "78" else -1
    how = f"{match['sign']} is {'positive' if sign > 0 else 'negative'}, {match['volts']} is the voltage"
    plain = not (match["maker"] or size or match["rest"])
    return _regulator(sign * volts, _CURRENT[size], how, 0.75 if plain else 0.95)


def _low_drop(match: re.Match[str]) -> Reading:
    if match["volts"] == "ADJ":
        return Reading(
            what="voltage regulator",
            says="adjustable, 1.25 V between output and adjust pin",
            how="1117 is the family, ADJ stands for adjustable",
            plausibility=0.95,
        )
    volts = decimal_value(match["volts"], 0 if "." in match["volts"] else -1)
    return _regulator(volts, 0.8, f"1117 is the family, {match['volts']} is the voltage", 0.95)


def _regulator(volts: float, amperes: float, how: str, plausibility: float) -> Reading:
    return Reading(
        what="voltage regulator",
        value=Quantity(volts, "V"),
        how=how,
        plausibility=plausibility,
        facts=(Fact(name="greatest current", value=Quantity(amperes, "A"), typical=True),),
    )


MEMBERS = (
    Decoder(
        name="regulator_number",
        title="type number of a linear regulator",
        about=("voltage regulator",),
        source="makers' type numbers",
        from_memory=True,
        example="AMS1117-3.3",
        read=_read,
    ),
)
