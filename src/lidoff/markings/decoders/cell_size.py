"""Cells by their size code: INR18650, CR2032, LR44, 503040, with capacity and voltage beside it."""

from __future__ import annotations

import re

from lidoff.errors import LidoffError
from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.quantities import Quantity, parse_quantity

_ROUND = re.compile(r"(?P<letters>I[CFMN]R)?(?P<diameter>\d\d)(?P<height>\d{3})", re.ASCII)
_BUTTON = re.compile(r"(?P<letters>CR|BR|LIR|ML)(?P<diameter>\d\d?)(?P<height>\d\d)", re.ASCII)
_POUCH = re.compile(r"(?P<letters>LP|PL|LIP)?(?P<thick>\d\d)(?P<wide>\d\d)(?P<long>\d\d)", re.ASCII)
_KNOWN_ROUND = (
    "10440",
    "14500",
    "16340",
    "18350",
    "18500",
    "18650",
    "20700",
    "21700",
    "26650",
    "32650",
    "32700",
)
_CHEMISTRY = {  # IEC 61960 and IEC 60086, from memory: words, nominal voltage [V]
    "ICR": ("lithium-ion, cobalt", 3.7),
    "IMR": ("lithium-ion, manganese", 3.7),
    "INR": ("lithium-ion, nickel", 3.6),
    "IFR": ("lithium iron phosphate", 3.2),
    "CR": ("lithium, not rechargeable", 3.0),
    "BR": ("lithium, not rechargeable", 3.0),
    "LIR": ("lithium-ion, rechargeable", 3.6),
    "ML": ("lithium, rechargeable", 3.0),
}
_NAMED = {  # IEC 60086 and common names, from memory: words, nominal voltage [V], diameter and height [mm]
    "LR03": ("alkaline, AAA", 1.5, 10.5, 44.5),
    "LR6": ("alkaline, AA", 1.5, 14.5, 50.5),
    "LR14": ("alkaline, C", 1.5, 26.2, 50.0),
    "LR20": ("alkaline, D", 1.5, 34.2, 61.5),
    "LR44": ("alkaline button", 1.5, 11.6, 5.4),
    "LR41": ("alkaline button", 1.5, 7.9, 3.6),
    "LR1130": ("alkaline button", 1.5, 11.6, 3.1),
    "SR44": ("silver oxide button", 1.55, 11.6, 5.4),
}


def _read(text: str) -> tuple[Reading, ...]:
    first, _, rest = text.partition(" ")
    code = first.upper()
    facts, unread = _beside(rest)
    readings: list[Reading] = []
    if code in _NAMED:
        words, volts, diameter, height = _NAMED[code]
        readings.append(
            _cell(f"{code}, {words}", "named size", 0.95, [_volts(volts), *_outline(diameter, height)])
        )
    if (match := _ROUND.fullmatch(code)) is not None and (match["letters"] or code in _KNOWN_ROUND):
        words, volts = _CHEMISTRY.get(match["letters"] or "", ("chemistry not told, mostly lithium-ion", 0.0))
        outline = _outline(float(match["diameter"]), int(match["height"]) / 10)
        how = "diameter in millimetres, height in tenths"
        known = [_volts(volts)] if volts else []
        readings.append(_cell(f"round cell, {words}", how, 0.95, known + outline))
    if (match := _BUTTON.fullmatch(code)) is not None and int(match["diameter"]) and int(match["height"]):
        words, volts = _CHEMISTRY[match["letters"]]
        outline = _outline(float(match["diameter"]), int(match["height"]) / 10)
        how = "diameter in millimetres, height in tenths"
        readings.append(_cell(f"coin cell, {words}", how, 0.95, [_volts(volts), *outline]))
    if (match := _POUCH.fullmatch(code)) is not None and all(
        int(match[side]) for side in ("thick", "wide", "long")
    ):
        readings.append(_pouch(match, told=bool(match["letters"] or facts)))
    return tuple(_with(reading, facts, unread) for reading in readings)


def _pouch(match: re.Match[str], *, told: bool) -> Reading:
    sides = (int(match["thick"]) / 10, float(match["wide"]), float(match["long"]))
    names = ("thickness", "width", "length")
    return _cell(
        "pouch cell, lithium-ion polymer",
        "thickness in tenths of a millimetre, width and length in millimetres",
        0.9 if told else 0.5,
        [_millimetres(name, side) for name, side in zip(names, sides, strict=True)],
    )


def _beside(rest: str) -> tuple[list[Fact], str]:
    """Capacity, energy and voltage printed beside the size, and the words that were none of these."""
    facts: list[Fact] = []
    unread: list[str] = []
    names = {"Ah": "capacity", "Wh": "energy", "V": "printed voltage"}
    for word in rest.split():
        try:
            quantity = parse_quantity(word)
        except LidoffError:
            unread.append(word)
            continue
        if quantity.unit in names:
            facts.append(Fact(name=names[quantity.unit], value=quantity))
        else:
            unread.append(word)
    return facts, " ".join(unread)


def _cell(says: str, how: str, plausibility: float, facts: list[Fact]) -> Reading:
    return Reading(what="cell", says=says, how=how, plausibility=plausibility, facts=tuple(facts))


def _with(reading: Reading, facts: list[Fact], unread: str) -> Reading:
    return Reading(
        what=reading.what,
        says=reading.says,
        how=reading.how,
        plausibility=reading.plausibility,
        facts=(*reading.facts, *facts),
        doubts=(f"not read: {unread}",) if unread else (),
    )


def _volts(volts: float) -> Fact:
    return Fact(name="nominal voltage", value=Quantity(volts, "V"), typical=True)


def _outline(diameter: float, height: float) -> list[Fact]:
    return [_millimetres("diameter", diameter), _millimetres("height", height)]


def _millimetres(name: str, millimetres: float) -> Fact:
    return Fact(name=name, value=Quantity(round(millimetres / 1000, 9), "m"))


MEMBERS = (
    Decoder(
        name="cell_size",
        title="size code of a cell",
        about=("cell",),
        source="IEC 60086 and IEC 61960; pouch sizes by common practice, no source",
        from_memory=True,
        example="INR18650 2600mAh",
        read=_read,
    ),
)
