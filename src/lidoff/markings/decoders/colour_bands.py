"""Colour bands on resistors, and on inductors of the same shape."""

from __future__ import annotations

from lidoff.errors import ImpossibleValue
from lidoff.markings.bands import BandValue, read_bands, split_colours
from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.markings.text import decimal_value, power_product
from lidoff.markings.tolerance import limits_from
from lidoff.quantities import Quantity

_REVERSED = 0.5  # a row typed by someone who chose an end is usually the right way round; common practice
_METALS = ("gold", "silver")


def _read(text: str) -> tuple[Reading, ...]:
    names = split_colours(text)
    if names is None:
        return ()
    if names == ("black",):
        return (_link(),)
    readings: list[Reading] = []
    refused: list[ImpossibleValue] = []
    for row, backwards in ((names, False), (names[::-1], True)):
        if backwards and row == names:
            continue
        try:
            found = read_bands(row)
        except ImpossibleValue as error:
            refused.append(error)
            continue
        readings.append(_resistor(row, found, backwards=backwards))
        if len(row) == 4:
            readings.append(_inductor(row, found, backwards=backwards))
    readings.extend(_with_reliability_band(names))
    if not readings:
        raise ImpossibleValue(
            f"{' '.join(names)} can't be read from either end",
            remedy="look again at each colour in even light",
            faults=refused[:1] if len(refused) < 2 or str(refused[0]) == str(refused[1]) else refused,
        )
    return tuple(readings)


def _link() -> Reading:
    return Reading(
        what="resistor",
        value=Quantity(value=0.0, unit="Ω"),
        how="one black band, a zero-ohm link",
        plausibility=0.9,
        from_memory=True,
    )


def _resistor(names: tuple[str, ...], found: BandValue, *, backwards: bool) -> Reading:
    facts: list[Fact] = []
    if found.drift is not None:
        facts.append(
            Fact(name="temperature coefficient", value=Quantity(value=found.drift * 1e-6, unit="1/K"))
        )
    return Reading(
        what="resistor",
        value=Quantity(value=found.value, unit="Ω"),
        limits=limits_from(found.value, found.tolerance),
        how=_how(names, found, "Ω", backwards=backwards),
        plausibility=0.9 * _weight(names, backwards=backwards),
        facts=tuple(facts),
        doubts=_doubts(names, backwards=backwards),
        from_memory=found.from_memory,
        in_series=True,
    )


def _inductor(names: tuple[str, ...], found: BandValue, *, backwards: bool) -> Reading:
    henries = decimal_value(found.digits, found.exponent - 6)
    return Reading(
        what="inductor",
        value=Quantity(value=henries, unit="H"),
        limits=limits_from(henries, found.tolerance),
        how=_how(names, found, "µH", backwards=backwards),
        plausibility=0.4 * _weight(names, backwards=backwards),
        doubts=(*_doubts(names, backwards=backwards), "only if the body is that of a moulded inductor"),
        from_memory=True,
        in_series=True,
    )


def _with_reliability_band(names: tuple[str, ...]) -> list[Reading]:
    """Older five-band parts: four bands as usual, and a fifth that tells no value."""
    if len(names) != 5 or names[3] not in _METALS:
        return []
    try:
        found = read_bands(names[:4])
    except ImpossibleValue:
        return []
    return [
        Reading(
            what="resistor",
            value=Quantity(value=found.value, unit="Ω"),
            limits=limits_from(found.value, found.tolerance),
            how=_how(names[:4], found, "Ω", backwards=False),
            plausibility=0.25,
            doubts=(f"takes {names[4]} for a reliability or drift band, as on older parts",),
            from_memory=True,
            in_series=True,
        )
    ]


def _how(names: tuple[str, ...], found: BandValue, unit: str, *, backwards: bool) -> str:
    width = "" if len(names) > 3 else ", no tolerance band"
    direction = " from the other end" if backwards else ""
    return f"{power_product(found.digits, found.exponent, unit)}{width}, {' '.join(names)}{direction}"


def _weight(names: tuple[str, ...], *, backwards: bool) -> float:
    weight = _REVERSED if backwards else 1.0
    return weight * 0.3 if names[0] == "black" else weight


def _doubts(names: tuple[str, ...], *, backwards: bool) -> tuple[str, ...]:
    doubts = ["read from the last band to the first"] if backwards else []
    if names[0] == "black":
        doubts.append("a first digit of 0 is unusual")
    return tuple(doubts)


MEMBERS = (
    Decoder(
        name="colour_bands",
        title="colour bands",
        about=("resistor", "inductor"),
        source="IEC 60062, colour code (standard not seen; read in copied tables and worked examples)",
        from_memory=False,
        example="yellow violet red gold",
        read=_read,
    ),
)
