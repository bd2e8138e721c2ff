"""American wire gauge: 24AWG, AWG 2/0."""

from __future__ import annotations

import math
import re

from lidoff.errors import ImpossibleValue
from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.quantities import Quantity

_NUMBER = r"(?P<number>\d{1,2}|0{2,4}|[1-4]/0)"
_FORMS = (
    re.compile(rf"AWG ?#?{_NUMBER}(?P<rest>(?: .*)?)", re.ASCII | re.IGNORECASE),
    re.compile(rf"#?{_NUMBER} ?AWG(?P<rest>(?: .*)?)", re.ASCII | re.IGNORECASE),
)
_THINNEST = 50

# ASTM B258, from memory: No. 36 is 0.005 inch, 39 steps are a factor of 92.
_DIAMETER_36 = 0.005 * 0.0254  # [m]
# IEC 60028, from memory: standard annealed copper at 20 °C is 1/58 Ω mm²/m.
_COPPER = 1e-6 / 58  # [Ω·m]


def _read(text: str) -> tuple[Reading, ...]:
    match = next((found for form in _FORMS if (found := form.fullmatch(text))), None)
    if match is None:
        return ()
    number = match["number"]
    if number.endswith("/0"):
        gauge = 1 - int(number[0])
    elif set(number) == {"0"}:
        gauge = 1 - len(number)
    else:
        gauge = int(number)
    if gauge > _THINNEST:
        raise ImpossibleValue(
            f"AWG {gauge} is thinner than any wire in use", remedy=f"numbers run from 4/0 to {_THINNEST}"
        )
    rest = match["rest"].strip()
    return (_wire(number, gauge, (f"not read: {rest}",) if rest else ()),)


def _wire(number: str, gauge: int, doubts: tuple[str, ...]) -> Reading:
    diameter = _DIAMETER_36 * 92 ** ((36 - gauge) / 39)
    area = math.pi / 4 * diameter**2
    return Reading(
        what="wire",
        says=f"AWG {number}",
        how=f"0.005 inch × 92^((36 − {gauge}) / 39)".replace("− -", "+ "),
        plausibility=0.95,
        facts=(
            Fact(name="diameter of a solid conductor", value=Quantity(diameter, "m")),
            Fact(name="area", value=Quantity(area, "m²")),
            Fact(name="resistance in copper at 20 °C", value=Quantity(_COPPER / area, "Ω/m")),
        ),
        doubts=doubts,
    )


MEMBERS = (
    Decoder(
        name="wire_gauge",
        title="American wire gauge",
        about=("wire",),
        source="ASTM B258 (diameter), IEC 60028 (copper)",
        from_memory=True,
        example="24AWG",
        read=_read,
    ),
)
