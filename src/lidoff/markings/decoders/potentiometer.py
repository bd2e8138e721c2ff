"""Potentiometers: a taper letter and the value, B10K, A503."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.digits import read_digits
from lidoff.markings.letters import RESISTANCE_LETTERS, read_letters
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import power_product
from lidoff.quantities import Quantity

_CODE = re.compile(r"(?P<taper>[ABC])(?P<code>\d{1,3}[KkMR]\d?|\d{3})Ω?", re.ASCII)
_TAPERS = {"A": "logarithmic", "B": "linear", "C": "reverse logarithmic"}


def _read(text: str) -> tuple[Reading, ...]:
    match = _CODE.fullmatch(text)
    if match is None:
        return ()
    digits = read_digits(match["code"], digits=3)
    letters = read_letters(match["code"].upper())
    if digits is not None:
        ohms, how = digits.value(), power_product(digits.digits, digits.exponent, "Ω")
    elif letters is not None:
        exponent = RESISTANCE_LETTERS[letters.letter]
        ohms, how = letters.value(exponent), letters.how(exponent, "Ω")
    else:
        return ()
    if not 50 <= ohms <= 10e6:
        return ()
    return (
        Reading(
            what="potentiometer",
            value=Quantity(ohms, "Ω"),
            how=f"{match['taper']} is the taper, {how}",
            plausibility=0.8 if letters is not None else 0.55,
            facts=(Fact(name="taper", text=_TAPERS[match["taper"]], typical=True),),
            doubts=("older European parts use A for linear and B for logarithmic",),
        ),
    )


MEMBERS = (
    Decoder(
        name="potentiometer",
        title="print on a potentiometer",
        about=("potentiometer",),
        source="common practice, no source",
        from_memory=True,
        example="B10K",
        read=_read,
    ),
)
