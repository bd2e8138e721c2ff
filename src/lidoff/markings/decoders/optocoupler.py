"""Optocouplers of the 817 family, whose last letter is the rank of current transfer: PC817C."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading

_NUMBER = re.compile(r"(?:PC|EL|LTV-?|CT|OR-?)?817(?P<rank>[A-D])?", re.ASCII)
_RANKS = {  # makers' data sheets, from memory; at 5 mA and 5 V
    "": "50 % to 600 %",
    "A": "80 % to 160 %",
    "B": "130 % to 260 %",
    "C": "200 % to 400 %",
    "D": "300 % to 600 %",
}


def _read(text: str) -> tuple[Reading, ...]:
    match = _NUMBER.fullmatch(text.upper())
    if match is None or text.upper() == "817":
        return ()
    return (
        Reading(
            what="optocoupler",
            says="one infrared LED and one phototransistor",
            how="817 is the family, the last letter is the rank",
            plausibility=0.9,
            facts=(
                Fact(
                    name="current transfer ratio", text=f"{_RANKS[match['rank'] or '']} at 5 mA", typical=True
                ),
            ),
            doubts=("bridges the mains insulation in many supplies: the print proves no insulation",),
        ),
    )


MEMBERS = (
    Decoder(
        name="optocoupler_817",
        title="type number of an optocoupler",
        about=("optocoupler",),
        source="makers' data sheets",
        from_memory=True,
        example="PC817C",
        read=_read,
    ),
)
