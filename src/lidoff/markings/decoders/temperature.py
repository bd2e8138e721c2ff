"""Prints of temperature: hottest case, climatic category, insulation class, dielectric."""

from __future__ import annotations

import re

from lidoff.errors import ImpossibleValue
from lidoff.markings.capacitance import dielectric_facts
from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.quantities import Quantity

_HOTTEST = re.compile(r"[+]?(\d{2,3}) ?(?:°C|℃|° ?C|degC|°)", re.ASCII)
_CATEGORY = re.compile(r"-?(\d{2})/(\d{2,3})/(\d{2})(?:/[A-C])?", re.ASCII)
_CLASS = re.compile(r"(?:(?:INS(?:ULATION)?\.? )?(?:CLASS|CL\.?)) ?([A-Z]|\d{3})", re.ASCII | re.IGNORECASE)

# IEC 60085, thermal classes of insulation, from memory [°C].
_CLASSES = {"Y": 90, "A": 105, "E": 120, "B": 130, "F": 155, "H": 180, "N": 200, "R": 220}


_USUAL_DIELECTRICS = ("C0G", "NP0", "U2J", "X5R", "X5S", "X6S", "X7R", "X7S", "X7T", "X8R", "Y5V", "Z5U")


def _hottest(text: str) -> tuple[Reading, ...]:
    match = _HOTTEST.fullmatch(text)
    if match is None:
        return ()
    celsius = float(match[1])
    return (
        Reading(
            what="temperature",
            value=Quantity(celsius, "°C"),
            how="printed; on a capacitor its hottest rated case, on a thermal link where it opens",
            plausibility=0.9,
        ),
    )


def _category(text: str) -> tuple[Reading, ...]:
    match = _CATEGORY.fullmatch(text)
    if match is None:
        return ()
    coldest, hottest, days = int(match[1]), int(match[2]), int(match[3])
    return (
        Reading(
            what="climatic category",
            says=f"−{coldest} °C to {hottest} °C, {days} days of damp heat",
            how="cold test, dry heat test, days of the damp heat test",
            plausibility=0.9 if coldest in (10, 25, 40, 55, 65) else 0.4,
            facts=(
                Fact(name="coldest", value=Quantity(-float(coldest), "°C")),
                Fact(name="hottest", value=Quantity(float(hottest), "°C")),
            ),
        ),
    )


def _class(text: str) -> tuple[Reading, ...]:
    match = _CLASS.fullmatch(text)
    if match is None:
        return ()
    letter = match[1].upper()
    by_number = {str(celsius): name for name, celsius in _CLASSES.items()}
    name = by_number.get(letter, letter)
    if name not in _CLASSES:
        listed = ", ".join(f"{known} ({celsius} °C)" for known, celsius in _CLASSES.items())
        raise ImpossibleValue(f"{text!r} names no thermal class of insulation", remedy=f"known: {listed}")
    return (
        Reading(
            what="insulation class",
            says=f"thermal class {name}",
            value=Quantity(float(_CLASSES[name]), "°C"),
            how="hottest point that the insulation system is rated for",
            plausibility=0.9,
        ),
    )


def _dielectric(text: str) -> tuple[Reading, ...]:
    facts = dielectric_facts(text)
    if not facts:
        return ()
    return (
        Reading(
            what="dielectric",
            says=text.upper(),
            how="ceramic dielectric: range and drift, letter by letter",
            plausibility=0.9 if text.upper().replace("O", "0") in _USUAL_DIELECTRICS else 0.3,
            facts=facts,
        ),
    )


MEMBERS = (
    Decoder(
        name="temperature_print",
        title="printed temperature",
        about=("temperature",),
        source="common practice, no source",
        from_memory=True,
        example="105°C",
        read=_hottest,
    ),
    Decoder(
        name="climatic_category",
        title="climatic category",
        about=("climatic category",),
        source="IEC 60068-1",
        from_memory=True,
        example="40/100/21",
        read=_category,
    ),
    Decoder(
        name="insulation_class",
        title="thermal class of insulation",
        about=("insulation class",),
        source="IEC 60085",
        from_memory=True,
        example="CLASS B",
        read=_class,
    ),
    Decoder(
        name="dielectric",
        title="temperature characteristic of a ceramic capacitor",
        about=("dielectric",),
        source="EIA-198 (standard not seen; read in a public table)",
        from_memory=False,
        example="X7R",
        read=_dielectric,
    ),
)
