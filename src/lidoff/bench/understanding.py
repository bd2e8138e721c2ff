"""What is understood of a text while it is typed: a quantity, a part's value, an accuracy, a marking."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from lidoff.bench.models import Meaning, Understand, Understood
from lidoff.bench.trouble import trouble_of
from lidoff.errors import LidoffError

if TYPE_CHECKING:
    from lidoff.markings import Meaning as Read

__all__ = ["understood_of"]

MOST_MEANINGS = 12
_NUMBERS = re.compile(r"[-+−]?[0-9.,]+([eE][-+−]?[0-9]+)?(\([0-9]+\))?(\s*±\s*[0-9.,]+)?")


def understood_of(asked: Understand, today: date) -> Understood:
    """What a text is understood as.

    Parameters
    ----------
    asked : Understand
        The text, and what it is to be read as.
    today : date
        So that no marking is taken for a date to come.

    Returns
    -------
    Understood
        With the problem where it is not, and what a text that is no value means as a print on a part.
    """
    from lidoff.evidence import OVER_RANGE, is_over_range

    try:
        if asked.read_as == "accuracy":
            return _accuracy(asked.text, asked.unit)
        if asked.read_as == "marking":
            return _marking(asked.text, asked.kind, today)
        if asked.read_as == "value" and asked.kind:
            return _value(asked.text, asked.kind)
        if asked.read_as == "shown" and is_over_range(asked.text):
            return Understood(understood=True, said=OVER_RANGE)
        if asked.read_as == "length":
            return _length(asked.text)
        if asked.read_as == "shown":
            return _shown(asked.text, asked.unit)
        return _quantity(asked.text, asked.unit)
    except LidoffError as error:
        printed = _printed(asked.text, asked.kind, today) if asked.read_as == "value" else []
        return Understood(understood=False, problem=trouble_of(error), meanings=printed)


def _quantity(text: str, unit: str) -> Understood:
    from lidoff.evidence import read_text
    from lidoff.quantities import format_quantity

    found = read_text(text, unit)
    return Understood(
        understood=True,
        said=format_quantity(found),
        value=found.value,
        unit=found.unit,
        uncertainty=found.expanded if found.uncertainty else None,
    )


def _shown(text: str, unit: str) -> Understood:
    """What a display showed, with the step of its last digit: trailing zeros tell how finely it was read."""
    from lidoff.quantities import format_quantity, resolution_of

    found = _quantity(text, unit)
    if found.unit == "1":
        return found.model_copy(update={"said": f"{found.said}, a number without a unit"})
    if found.uncertainty is not None:
        return found
    step = resolution_of(text, unit=unit or None)
    return found.model_copy(update={"said": f"{found.said}, last digit {format_quantity(step)}"})


def _length(text: str) -> Understood:
    """A length above zero; numbers alone are millimetres."""
    from lidoff.errors import ImpossibleValue, UnknownName

    remedy = 'write millimetres, such as 42.5, or with its unit, "4.25 cm"'
    bare = _NUMBERS.fullmatch(text.strip()) is not None
    try:
        found = _quantity(f"{text.strip()} mm" if bare else text, "m")
    except UnknownName:
        raise ImpossibleValue(f"{text.strip()!r} is no length", remedy=remedy) from None
    except LidoffError as error:
        raise ImpossibleValue(error.what, remedy=remedy) from None
    if found.value is None or not found.value > 0.0:
        raise ImpossibleValue(f"{text.strip()!r} is no length above zero", remedy=remedy)
    return found


def _value(text: str, kind: str) -> Understood:
    """A part's main value, with the tolerance that a ± in it states."""
    from lidoff.circuit import Part, all_kinds
    from lidoff.dossier.wiring import setting_of
    from lidoff.errors import ImpossibleValue, UnknownName
    from lidoff.quantities import Quantity, format_quantity

    if kind not in all_kinds():
        raise UnknownName(f"unknown kind {kind!r}", name=kind, known=all_kinds())
    told = all_kinds()[kind]
    parameter = told.parameters_of(Part(reference="X", kind=kind, pins={})).get(told.main_value)
    if parameter is None:
        raise ImpossibleValue(f"a {told.title} has no one value", remedy="name which of its values is meant")
    value, spread = setting_of(text, parameter)
    if isinstance(value, str):
        return Understood(understood=True, said=value)
    said = format_quantity(Quantity(value, parameter.unit or "1"))
    if spread is not None and "±" in text:
        width = spread.half_width
        said += (
            f" ± {100 * width:.4g} %"
            if spread.relative
            else f" ± {format_quantity(Quantity(width, parameter.unit))}"
        )
    return Understood(
        understood=True,
        said=said,
        value=value,
        unit=parameter.unit,
    )


def _accuracy(text: str, unit: str) -> Understood:
    from lidoff.quantities import parse_accuracy

    return Understood(understood=True, said=str(parse_accuracy(text, unit=unit or None)))


def _printed(text: str, kind: str, today: date) -> list[Meaning]:
    """Meanings of a print that may be a kind's main value; none where it is no print."""
    from lidoff.circuit import all_kinds
    from lidoff.markings import decode

    told = all_kinds().get(kind)
    unit = next((one.unit for one in told.parameters if one.name == told.main_value), "") if told else ""
    if not unit:
        return []
    try:
        found = decode(text, today=today)
    except LidoffError:
        return []
    values = [_meaning(one) for one in found if one.value is not None and one.value.unit == unit]
    return values[:MOST_MEANINGS]


def _marking(text: str, kind: str, today: date) -> Understood:
    from lidoff.markings import decode
    from lidoff.quantities import format_quantity

    def is_of_kind(one: Read) -> bool:
        return bool(kind) and one.what.partition(" ")[0] == kind.partition("_")[0]

    found = sorted(
        decode(text, today=today), key=lambda one: not is_of_kind(one)
    )  # stable: the rest stays by plausibility
    meanings = [_meaning(one) for one in found[:MOST_MEANINGS]]
    first = found[0]
    said = first.says or ("" if first.value is None else format_quantity(first.value))
    return Understood(understood=True, said=f"{first.what} {said}".strip(), meanings=meanings)


def _meaning(one: Read) -> Meaning:
    from lidoff.markings import describe
    from lidoff.quantities import format_quantity

    return Meaning(
        title=one.what,
        says=describe(one),
        value="" if one.value is None else format_quantity(one.value),
        kind=one.what,
        likely=one.plausibility,
    )
