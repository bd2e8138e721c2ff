"""Three- and four-digit codes on chip resistors, and zero-ohm links."""

from __future__ import annotations

from lidoff.markings.decoder import Decoder
from lidoff.markings.digits import read_digits
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import power_product
from lidoff.quantities import Quantity

_SOURCE = "IEC 60062, digit code (standard not seen; read in public decoders' tables)"


def _three(text: str) -> tuple[Reading, ...]:
    return _digits(text, 3, 0.8, "±5 %")


def _four(text: str) -> tuple[Reading, ...]:
    return _digits(text, 4, 0.8, "±1 %")


def _digits(text: str, length: int, plausibility: float, usual: str) -> tuple[Reading, ...]:
    code = read_digits(text, digits=length)
    if code is None:
        return ()
    return (
        Reading(
            what="resistor",
            value=Quantity(value=code.value(), unit="Ω"),
            how=power_product(code.digits, code.exponent, "Ω"),
            plausibility=plausibility,
            facts=(Fact(name="tolerance", text=f"{usual}, not printed", typical=True),),
            in_series=True,
        ),
    )


def _link(text: str) -> tuple[Reading, ...]:
    if text not in ("0", "00", "000", "0000"):
        return ()
    return (
        Reading(
            what="resistor",
            value=Quantity(value=0.0, unit="Ω"),
            how="only zeros",
            plausibility=0.95,
        ),
    )


MEMBERS = (
    Decoder(
        name="resistor_three_digits",
        title="three-digit resistor code",
        about=("resistor",),
        source=_SOURCE,
        from_memory=False,
        example="472",
        read=_three,
    ),
    Decoder(
        name="resistor_four_digits",
        title="four-digit resistor code",
        about=("resistor",),
        source=_SOURCE,
        from_memory=False,
        example="1002",
        read=_four,
    ),
    Decoder(
        name="zero_ohm_link",
        title="print of a zero-ohm link",
        about=("resistor",),
        source="common practice, no source",
        from_memory=True,
        example="000",
        read=_link,
    ),
)
