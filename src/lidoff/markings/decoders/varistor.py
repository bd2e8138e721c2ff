"""Disc varistors and inrush thermistors: 10D471K, 471KD14, S10K275, 5D-9."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.digits import read_digits
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import power_product
from lidoff.markings.tolerance import limits_of_letter
from lidoff.quantities import Quantity

_DISC_FIRST = re.compile(
    r"(?:[A-Z]{2,4}-?)?0?(?P<disc>5|7|10|14|20|25)[DKN](?P<code>\d{3})(?P<letter>[JKLM])?", re.ASCII
)
_CODE_FIRST = re.compile(r"(?P<code>\d{3})(?P<letter>[JKM])D0?(?P<disc>5|7|10|14|20|25)", re.ASCII)
_MAINS_RATED = re.compile(r"S(?P<disc>05|07|10|14|20)K(?P<volts>\d{2,4})", re.ASCII)
_INRUSH = re.compile(r"(?:NTC ?|MF72[- ]?)?(?P<ohms>\d{1,3}(?:\.\d)?)D-?(?P<disc>\d{1,2})", re.ASCII)

# Continuous AC voltage that makers usually give for a voltage code (makers' data sheets, from memory) [V].
_USUAL_AC = {
    "201": 130, "221": 140, "241": 150, "271": 175, "361": 230, "391": 250, "431": 275, "471": 300, "511": 320,
    "561": 350, "621": 385, "681": 420, "751": 460, "781": 485, "821": 510, "911": 550, "102": 625,
}  # fmt: skip


def _varistor(text: str) -> tuple[Reading, ...]:
    match = _DISC_FIRST.fullmatch(text) or _CODE_FIRST.fullmatch(text)
    code = read_digits(match["code"], digits=3) if match is not None else None
    if match is None or code is None or not 0 <= code.exponent <= 3:
        return ()
    volts = code.value()
    facts = [Fact(name="disc diameter", value=_millimetres(match["disc"]))]
    if match["code"] in _USUAL_AC:
        facts.append(
            Fact(
                name="continuous voltage",
                value=Quantity(float(_USUAL_AC[match["code"]]), "V"),
                text="AC",
                typical=True,
            )
        )
    letter = match["letter"] or ""
    return (
        Reading(
            what="varistor",
            value=Quantity(volts, "V"),
            limits=limits_of_letter(volts, letter) if letter not in ("", "L") else None,
            how=f"{power_product(code.digits, code.exponent, 'V')} at 1 mA, disc of {match['disc']} mm",
            plausibility=0.95,
            facts=tuple(facts),
        ),
    )


def _mains_rated(text: str) -> tuple[Reading, ...]:
    match = _MAINS_RATED.fullmatch(text)
    if match is None or not int(match["volts"]):
        return ()
    return (
        Reading(
            what="varistor",
            says="rated by its continuous AC voltage",
            how=f"disc of {int(match['disc'])} mm, {match['volts']} V AC continuous",
            plausibility=0.9,
            facts=(
                Fact(name="continuous voltage", value=Quantity(float(match["volts"]), "V"), text="AC"),
                Fact(name="disc diameter", value=_millimetres(match["disc"])),
            ),
        ),
    )


def _inrush(text: str) -> tuple[Reading, ...]:
    match = _INRUSH.fullmatch(text)
    if match is None or float(match["ohms"]) == 0 or not 3 <= int(match["disc"]) <= 30:
        return ()
    return (
        Reading(
            what="thermistor",
            says="inrush current limiter, resistance falls when hot",
            value=Quantity(float(match["ohms"]), "Ω"),
            how=f"{match['ohms']} Ω at 25 °C, disc of {match['disc']} mm",
            plausibility=0.85,
            facts=(Fact(name="disc diameter", value=_millimetres(match["disc"])),),
        ),
    )


def _millimetres(number: str) -> Quantity:
    return Quantity(int(number) / 1000, "m")


MEMBERS = (
    Decoder(
        name="varistor",
        title="code of a disc varistor",
        about=("varistor",),
        source="makers' codes; 10D471K as 10 mm, 470 V read in a maker's listing",
        from_memory=True,
        example="10D471K",
        read=_varistor,
    ),
    Decoder(
        name="varistor_mains_rated",
        title="code of a disc varistor by its AC voltage",
        about=("varistor",),
        source="makers' codes",
        from_memory=True,
        example="S10K275",
        read=_mains_rated,
    ),
    Decoder(
        name="inrush_thermistor",
        title="code of an inrush thermistor",
        about=("thermistor",),
        source="makers' codes",
        from_memory=True,
        example="5D-9",
        read=_inrush,
    ),
)
