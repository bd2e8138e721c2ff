"""Flexible cords and wires by their harmonised code: H03VVH2-F 2X0.75mm²."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value
from lidoff.quantities import Quantity

_CODE = re.compile(
    r"(?P<kind>[HA])(?P<volts>03|05|07)(?P<insulation>[VRSBN]|Z1?|V2)(?P<sheath>V2|[VRNBTQ]|Z1?)?(?P<flat>H2|H)?"
    r"-(?P<conductor>[FHKURY])(?: ?(?P<cores>\d{1,2}) ?(?P<earth>[xXG]) ?(?P<area>\d{1,2}(?:[.,]\d{1,2})?) ?"
    r"(?:mm²|mm2|MM2|MM²|mm)?)?",
    re.ASCII,
)

# Harmonised codes after HD 361 and EN 50525, from memory.
_VOLTS = {"03": "300/300 V", "05": "300/500 V", "07": "450/750 V"}
_MATERIAL = {
    "V": "PVC", "V2": "PVC for 90 °C", "R": "rubber", "S": "silicone rubber", "B": "ethylene propylene rubber",
    "N": "chloroprene rubber", "Z": "cross-linked polyolefin", "Z1": "polyolefin", "T": "textile braid",
    "Q": "polyurethane",
}  # fmt: skip
_CONDUCTOR = {
    "F": "fine strands for flexible cords", "H": "very fine strands", "K": "fine strands for fixed wiring",
    "U": "solid", "R": "stranded", "Y": "tinsel",
}  # fmt: skip


def _read(text: str) -> tuple[Reading, ...]:
    match = _CODE.fullmatch(text)
    if match is None:
        return ()
    shape = {"H2": ", flat", "H": ", flat and divisible"}.get(match["flat"] or "", "")
    sheath = f", sheath {_MATERIAL[match['sheath']]}" if match["sheath"] else ", no sheath"
    facts = [
        Fact(name="rated voltage, to earth and between cores", text=_VOLTS[match["volts"]]),
        Fact(name="conductor", text=_CONDUCTOR[match["conductor"]]),
    ]
    if match["cores"]:
        area = decimal_value(match["area"].replace(",", "."), -6)
        earth = ", one of them the protective conductor" if match["earth"] == "G" else ""
        facts.append(Fact(name="cores", text=f"{int(match['cores'])}{earth}"))
        if area:
            facts.append(Fact(name="area of a core", value=Quantity(area, "m²")))
    return (
        Reading(
            what="cable",
            says=f"insulation {_MATERIAL[match['insulation']]}{sheath}{shape}",
            how="harmonised code, letter by letter",
            plausibility=0.95,
            facts=tuple(facts),
            doubts=() if match["kind"] == "H" else ("a recognised national type, not harmonised",),
        ),
    )


MEMBERS = (
    Decoder(
        name="cable_code",
        title="harmonised code of a cable",
        about=("cable",),
        source="HD 361 and EN 50525",
        from_memory=True,
        example="H03VVH2-F 2X0.75mm²",
        read=_read,
    ),
)
