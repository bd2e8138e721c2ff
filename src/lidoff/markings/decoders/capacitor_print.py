"""Prints on capacitors in several pieces: 220µF 25V, 0.1µF 275V~ X2, 47 16V, 104K X7R 50V."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from lidoff.markings.capacitance import (
    Capacitance,
    dielectric_facts,
    from_digit_code,
    from_letter_code,
    from_printed_value,
    voltage_fact,
)
from lidoff.markings.decoder import Decoder
from lidoff.markings.decoders.safety_capacitor import class_fact
from lidoff.markings.meaning import Fact, Limits, Reading
from lidoff.markings.text import decimal_value
from lidoff.markings.tolerance import Tolerance, limits_from, limits_of_capacitance
from lidoff.quantities import Quantity

_VOLTS = re.compile(
    r"(?P<number>\d{1,5}(?:[.,]\d{1,2})?) ?(?P<kilo>k)?V ?(?P<kind>~|AC|DC|-|=|ac|dc)?",
    re.ASCII | re.IGNORECASE,
)
_CATEGORY = re.compile(r"-?(\d{2})/(\d{2,3})/(\d{2})(?:/[A-C])?", re.ASCII)
# Letters of film capacitors (DIN 41379 and Chinese type letters), from memory.
_FILMS = {
    "MKP": "metallised polypropylene film",
    "MKT": "metallised polyester film",
    "MKS": "metallised polyester film",
    "FKP": "polypropylene film and foil",
    "FKS": "polyester film and foil",
    "CBB": "polypropylene film",
    "CL": "polyester film",
}
_TEMPERATURE = re.compile(r"[+]?(\d{2,3}) ?(?:°C|℃|°)|\(M\)", re.ASCII)
_BARE = re.compile(r"\d{1,5}|\d{0,2}\.\d{1,4}", re.ASCII)
_WIDTH = re.compile(r"[±]?(?:\+/-)? ?(\d{1,2}(?:\.\d)?) ?%", re.ASCII)
_SPLIT_UNIT = re.compile(r"(\d) (?=(?:[kpnuµm]?F|MFD|uF|k?V(?:AC|DC)?|°C|%)(?:\b|$))", re.IGNORECASE)


_GLUED = re.compile(r"(?<=[FD])(?=\d{1,4}(?:\.\d)?k?V)", re.IGNORECASE)

LEAST_PLAIN = 1e-9
"""Below this a bare number that ends in 0 is read as a digit code [F]: "470" as 47 pF."""


@dataclass
class _Pieces:
    """What the pieces of one print say; filled piece by piece within one call."""

    capacitance: Capacitance | None = None
    limits: Limits | None = None
    width: float | None = None
    letter: str = ""
    facts: list[Fact] = field(default_factory=list)
    volts: bool = False
    unread: list[str] = field(default_factory=list)
    bare_number: str = ""


def _read(text: str) -> tuple[Reading, ...]:
    words = _GLUED.sub(" ", _SPLIT_UNIT.sub(r"\1", text)).replace(",", " ").replace(";", " ").split()
    pieces = _Pieces()
    with_unit = False
    for word in words:
        printed = from_printed_value(word)
        if printed is not None and pieces.capacitance is None:
            pieces.capacitance, with_unit = printed, True
        else:
            _sort_in(word, pieces)
    ways = [pieces.capacitance] if pieces.capacitance is not None else _of_a_bare_number(pieces)
    if not ways or not (with_unit or pieces.facts or len(words) > 1):
        return ()
    if (
        not with_unit
        and not pieces.volts
        and not any(fact.name.startswith("safety class") for fact in pieces.facts)
    ):
        return ()
    return tuple(_reading(pieces, found, with_unit=with_unit) for found in ways)


def _sort_in(word: str, pieces: _Pieces) -> None:
    """Put one word to what it says, or among the unread."""
    volts = _VOLTS.fullmatch(word)
    temperature = _TEMPERATURE.fullmatch(word)
    width = _WIDTH.fullmatch(word)
    safety = class_fact(word)
    dielectric = dielectric_facts(word)
    if volts is not None:
        number = decimal_value(volts["number"].replace(",", "."), 3 if volts["kilo"] else 0)
        kind = {"~": "AC", "AC": "AC", "DC": "DC", "-": "DC", "=": "DC"}.get(
            (volts["kind"] or "").upper(), ""
        )
        if number:
            pieces.facts.append(voltage_fact(number, kind=kind))
            pieces.volts = True
    elif temperature is not None and temperature[1]:
        pieces.facts.append(Fact(name="hottest rated case", value=Quantity(float(temperature[1]), "°C")))
    elif width is not None:
        pieces.width = float(width[1])
    elif safety is not None:
        pieces.facts.extend(safety)
    elif dielectric:
        pieces.facts.append(Fact(name="dielectric", text=word.upper()))
        pieces.facts.extend(dielectric)
    elif (category := _CATEGORY.fullmatch(word)) is not None:
        text = f"−{int(category[1])} °C to {int(category[2])} °C, {int(category[3])} days of damp heat"
        pieces.facts.append(Fact(name="climatic category", text=text))
    elif word.upper() in _FILMS:
        pieces.facts.append(Fact(name="dielectric", text=_FILMS[word.upper()]))
    elif word in ("F", "G", "J", "K", "M", "Z", "(M)", "(K)", "(J)"):
        pieces.letter = word.strip("()")
    elif _BARE.fullmatch(word) and not pieces.bare_number and pieces.capacitance is None:
        pieces.bare_number = word
    else:
        code = (from_digit_code(word) or from_letter_code(word)) if pieces.capacitance is None else None
        if code is not None:
            pieces.capacitance = code
        else:
            pieces.unread.append(word)


def _of_a_bare_number(pieces: _Pieces) -> list[Capacitance]:
    """A bare number beside a voltage: microfarads on a can or a film part, or a digit code on a small part.

    Three digits may be either, so both are told, and the E series tells which is likelier; from a third digit of 3 on the
    microfarads would be those of a can that is seldom made.
    """
    number = pieces.bare_number
    if not number or not pieces.volts or float(number) == 0:
        return []
    code = from_digit_code(number) if len(number) == 3 and number.isdecimal() else None
    if code is not None and number[2] in "3456":
        return [code]
    plain = Capacitance(farads=decimal_value(number, -6), limits=None, how=f"{number} µF, the unit left out")
    return [plain] if code is None else [plain, code]


def _reading(pieces: _Pieces, found: Capacitance, *, with_unit: bool) -> Reading:
    limits = found.limits
    if pieces.width is not None:
        limits = limits_from(found.farads, Tolerance(minus=pieces.width, plus=pieces.width))
    elif pieces.letter and limits is None:
        limits = limits_of_capacitance(found.farads, pieces.letter)
    doubts = (f"not read: {' '.join(pieces.unread)}",) if pieces.unread else ()
    usual = 0.95 if with_unit else 0.8
    if pieces.bare_number.endswith("0") and found.farads < LEAST_PLAIN:
        usual, doubts = 0.4, (*doubts, "only on a small ceramic part; a can means microfarads")
    return Reading(
        what="capacitor",
        value=Quantity(found.farads, "F"),
        limits=limits,
        how=found.how,
        plausibility=usual,
        facts=tuple(pieces.facts),
        doubts=doubts,
        in_series=True,
    )


MEMBERS = (
    Decoder(
        name="capacitor_print",
        title="print on a capacitor",
        about=("capacitor",),
        source="common practice, no source; letters after IEC 60062, EIA-198 and IEC 60384-14",
        from_memory=True,
        example="220µF 25V 105°C",
        read=_read,
    ),
)
