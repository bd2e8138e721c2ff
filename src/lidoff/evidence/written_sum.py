"""Both sides of a sum as a person writes it, with digits enough to do it again on paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from lidoff.errors import ImpossibleValue
from lidoff.evidence.claim_inputs import Input
from lidoff.evidence.claim_kind import Way
from lidoff.quantities import Quantity, format_quantity, parse_quantity, sensitivities

__all__ = ["written_sum"]

MOST_DIGITS = 8
"""Significant digits beyond which an input is not written; our choice."""


def written_sum(way: Way, inputs: Sequence[Input], found: Quantity, shown: Callable[[Quantity], str]) -> str:
    """Both sides of a sum.

    Parameters
    ----------
    way : Way
        How the inputs make the result.
    inputs : sequence of Input
        What goes in.
    found : Quantity
        What comes out.
    shown : callable (Quantity) → str
        Writes the result.

    Returns
    -------
    str
        Each input with the digits that its uncertainty deserves; with more, where the rounded inputs would not make the
        result as it is written. Where even all their digits would not, since the result was drawn, they are left as they are.
    """
    result = shown(found)
    exact = [one.quantity.value for one in inputs]

    def comes_to(values: Sequence[float]) -> str:
        try:
            return shown(Quantity(float(way.combine(*values)), found.unit, found.uncertainty, found.dof))
        except (ArithmeticError, ImpossibleValue):
            return ""  # rounded so far that nothing comes out, as of a divisor of nought

    usual = [_text(one.quantity, None) for one in inputs]
    texts = list(usual)
    if comes_to(exact) == result:
        slopes = sensitivities(way.combine, [one.quantity for one in inputs])
        digits: list[int] = [1 if one.quantity.uncertainty else 4 for one in inputs]
        while (
            comes_to(values := [_value(text, one) for text, one in zip(texts, inputs, strict=True)]) != result
        ):
            off = [abs(s * (a - b)) for s, a, b in zip(slopes, values, exact, strict=True)]
            worst = max(range(len(inputs)), key=off.__getitem__)
            digits[worst] += 1
            if digits[worst] > MOST_DIGITS:
                texts = usual
                break
            texts[worst] = _text(inputs[worst].quantity, digits[worst])
    written = {one.role.name: text for one, text in zip(inputs, texts, strict=True)}
    return f"{way.written.format(**written)} = {result}"


def _text(quantity: Quantity, digits: int | None) -> str:
    return format_quantity(quantity, digits=digits, with_uncertainty=False)


def _value(text: str, one: Input) -> float:
    return parse_quantity(text, unit=one.quantity.unit).value
