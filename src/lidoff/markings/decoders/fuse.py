"""Fuses and thermal links: T2AL250V, F 500mA 250V, TF 130°C 10A 250V."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value
from lidoff.quantities import Quantity

_FUSE = re.compile(
    r"(?P<speed>FF|F|M|TT|T) ?(?P<number>\d{1,4}(?:[.,]\d{1,3})?) ?(?P<milli>m)?A ?(?P<breaking>[LEH])?"
    r"(?: ?(?P<volts>\d{2,3}) ?V(?:AC|~)?)?",
    re.ASCII,
)
_LINK = re.compile(
    r"T[fF] ?:? ?(?P<celsius>\d{2,3}) ?(?:°? ?C|℃)(?: (?P<amperes>\d{1,2}(?:\.\d)?) ?A)?(?: (?P<volts>\d{2,3}) ?V(?:AC|~)?)?",
    re.ASCII,
)

# IEC 60127-1 and -2, from memory; the standards were not seen.
_SPEEDS = {
    "FF": "very quick acting",
    "F": "quick acting",
    "M": "medium time lag",
    "T": "time lag",
    "TT": "long time lag",
}
_BREAKING = {
    "L": "low: 35 A or ten times the rated current, whichever is greater",
    "E": "enhanced: 150 A",
    "H": "high: 1500 A",
}


def _fuse(text: str) -> tuple[Reading, ...]:
    match = _FUSE.fullmatch(text)
    if match is None:
        return ()
    amperes = decimal_value(match["number"].replace(",", "."), -3 if match["milli"] else 0)
    if amperes == 0:
        return ()
    facts = [Fact(name="characteristic", text=_SPEEDS[match["speed"]])]
    if match["breaking"]:
        facts.append(Fact(name="breaking capacity", text=_BREAKING[match["breaking"]]))
    if match["volts"]:
        facts.append(Fact(name="rated voltage", value=Quantity(float(match["volts"]), "V")))
    return (
        Reading(
            what="fuse",
            value=Quantity(amperes, "A"),
            how="letter of the characteristic, rated current, letter of the breaking capacity, rated voltage",
            plausibility=0.95,
            facts=tuple(facts),
        ),
    )


def _link(text: str) -> tuple[Reading, ...]:
    match = _LINK.fullmatch(text)
    if match is None:
        return ()
    facts = [
        Fact(name=name, value=Quantity(float(number), unit))
        for name, number, unit in (
            ("rated current", match["amperes"], "A"),
            ("rated voltage", match["volts"], "V"),
        )
        if number
    ]
    return (
        Reading(
            what="thermal link",
            value=Quantity(float(match["celsius"]), "°C"),
            how="Tf is the temperature at which it opens, once and for good",
            plausibility=0.95,
            facts=tuple(facts),
        ),
    )


MEMBERS = (
    Decoder(
        name="fuse_print",
        title="print on a fuse",
        about=("fuse",),
        source="IEC 60127",
        from_memory=True,
        example="T2AL250V",
        read=_fuse,
    ),
    Decoder(
        name="thermal_link",
        title="print on a thermal link",
        about=("thermal link",),
        source="IEC 60691",
        from_memory=True,
        example="TF 130°C 10A 250V",
        read=_link,
    ),
)
