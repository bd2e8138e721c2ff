"""EIA-96 codes on small 1 % chip resistors."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.eia96 import EIA96_LETTERS, EIA96_RECALLED, eia96_term
from lidoff.markings.meaning import Reading
from lidoff.markings.text import decimal_value, power_of_ten, power_product
from lidoff.markings.tolerance import Tolerance, limits_from
from lidoff.quantities import Quantity

_CODE = re.compile(r"(\d\d)([A-Z])", re.ASCII)
_ONE_PERCENT = Tolerance(minus=1.0, plus=1.0, from_memory=False)


def _read(text: str) -> tuple[Reading, ...]:
    match = _CODE.fullmatch(text)
    if match is None or match[2] not in EIA96_LETTERS:
        return ()
    term = eia96_term(int(match[1]))
    exponent = EIA96_LETTERS[match[2]]
    ohms = decimal_value(str(term), exponent)
    recalled = match[2] in EIA96_RECALLED
    return (
        Reading(
            what="resistor",
            value=Quantity(value=ohms, unit="Ω"),
            limits=limits_from(ohms, _ONE_PERCENT),
            how=f"{power_product(str(term), exponent, 'Ω')}, {match[1]} is {term}, {match[2]} is {power_of_ten(exponent)}",
            plausibility=0.5 if recalled else 0.8,
            doubts=("some tables give H another power of ten",) if match[2] == "H" else (),
            from_memory=recalled,
            in_series=True,
        ),
    )


MEMBERS = (
    Decoder(
        name="resistor_eia96",
        title="EIA-96 resistor code",
        about=("resistor",),
        source="EIA-96 (standard not seen; read in public decoders' tables)",
        from_memory=False,
        example="68X",
        read=_read,
    ),
)
