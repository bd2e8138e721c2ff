"""Numbers read wrongly: a part's value by a digit or as another code, a meter's decimal point or sign."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress

from lidoff.circuit import Circuit, Part, kind_of
from lidoff.errors import LidoffError
from lidoff.insight.slip import Slip, SlipKind
from lidoff.insight.variant import Variant
from lidoff.insight.watched import DeadTest, Watched
from lidoff.markings import decode, encode_digits
from lidoff.quantities import Quantity, format_quantity

ALIKE = {
    "0": "8", "1": "7", "2": "7", "3": "8", "5": "6", "6": "589", "7": "12", "8": "036", "9": "6"
}  # fmt: skip
"""Digits that are taken for each other in bad print or upside down; common practice, no source."""
CODED = {"resistor": "Ω"}
"""Kinds whose main value is printed in a code, with its unit; the decoders call them by the same name."""
DECADES = (0.01, 0.1, 10.0, 100.0)
METER_DECADES = (0.1, 10.0, 1e-3, 1e3)
SIGNIFICANT = 5.0
"""Uncertainties that a reading must be above zero for its decimal point to matter."""
SAME = 0.02
"""Relative difference below which two values are the same."""


def misread_values(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every coded value, read by a digit otherwise or by another code."""
    found: list[Slip] = []
    for part in circuit.parts:
        name = kind_of(part).main_value
        value = part.values.get(name)
        if part.kind not in CODED or not isinstance(value, float) or not value > 0.0:
            continue
        unit = CODED[part.kind]
        others = _readings_of(part, value, part.kind)
        found.extend(
            Slip(
                kind="misread",
                title=f"{part.reference} is {format_quantity(Quantity(other, unit))}, "
                f"not {format_quantity(Quantity(value, unit))}",
                odds=chance / len(others),
                variant=Variant(values={(part.reference, name): other}),
                parts=(part.reference,),
            )
            for other in others
        )
    return found


def _readings_of(part: Part, value: float, what: str) -> tuple[float, ...]:
    """Other values that the print may stand for: its other codes, a digit taken for another, two digits swapped, a decade."""
    texts = _codes(part, value)
    found = [value * decade for decade in DECADES]
    for text in texts:
        found.extend(_decoded(text, what))
        for place, digit in enumerate(text):
            for other in ALIKE.get(digit, ""):
                found.extend(_decoded(text[:place] + other + text[place + 1 :], what)[:1])
        for place in range(len(text) - 1):
            pair = text[place : place + 2]
            if pair.isdigit():
                found.extend(_decoded(text[:place] + pair[::-1] + text[place + 2 :], what)[:1])
    kept: list[float] = []
    for one in found:
        if one > 0.0 and all(abs(one / other - 1.0) > SAME for other in (value, *kept)):
            kept.append(one)
    return tuple(kept)


def _codes(part: Part, value: float) -> list[str]:
    texts = [part.marking] if part.marking else []
    with suppress(LidoffError):  # not every value has a code of three or four digits
        texts.append(encode_digits(value))
    return list(dict.fromkeys(texts))


def _decoded(text: str, what: str) -> list[float]:
    try:
        return [one.value.value for one in decode(text, what=what) if one.value is not None]
    except LidoffError:
        return []  # no code reads like that


def misread_meter(circuit: Circuit, watched: Sequence[Watched], chance: float) -> Sequence[Slip]:  # noqa: ARG001
    """Every reading that a person wrote down, with the decimal point elsewhere or the other sign."""
    found: list[Slip] = []
    for one in watched:
        if not one.written or not SIGNIFICANT * one.deviation < abs(one.value) < float("inf"):
            continue  # what is nearly zero stays so wherever its point is
        if isinstance(one.target, DeadTest) and one.target.range_name == "continuity":
            continue
        factors = list(METER_DECADES) if isinstance(one.target, DeadTest) else [*METER_DECADES, -1.0]
        found.extend(
            Slip(
                kind="meter",
                title=f"the reading {one.name} "
                + ("has its sign reversed" if factor < 0 else f"is {factor:g} times what was written"),
                odds=chance / len(factors),
                variant=Variant(factors={one.name: factor}),
                readings=(one.name,),
            )
            for factor in factors
        )
    return found


MEMBERS = (
    SlipKind(
        name="misread",
        title="a value misread",
        chance=0.01,
        of_each="part with a printed value",
        look="read the print on {parts} once more, in other light and from the other side",
        propose=misread_values,
    ),
    SlipKind(
        name="meter",
        title="a meter misread",
        chance=0.005,
        of_each="reading written down by hand",
        look="take {readings} once more, with an eye on range, decimal point and sign",
        propose=misread_meter,
    ),
)
