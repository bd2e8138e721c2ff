"""Formulas as people write them, worked out: the text that is shown is the text that is evaluated.

Signs: + − · ÷ ^ and brackets; functions √( ) ln( ) exp( ); the number π. A letter is a name such as ``V_F`` or ``R1``.
"""

from __future__ import annotations

import ast
import math
import operator
import re
from collections.abc import Callable, Mapping
from functools import cache

from lidoff.insight.block import Beside, Missing, Sum
from lidoff.insight.solved import Caused
from lidoff.quantities import Quantity, combined_uncertainty, format_quantity

__all__ = ["worked"]

NAME = re.compile(r"[A-Za-zΔηβρτ][A-Za-z0-9_]*")
FUNCTIONS: Mapping[str, Callable[[float], float]] = {"sqrt": math.sqrt, "ln": math.log, "exp": math.exp}
OPERATIONS: Mapping[type, Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.Pow: operator.pow,
}
STEP = 1e-6
"""Relative step of the differences that carry uncertainties."""


@cache
def _parsed(formula: str) -> ast.expr:
    plain = formula.replace("−", "-").replace("·", "*").replace("÷", "/").replace("^", "**")
    return ast.parse(plain.replace("√", "sqrt").replace("π", "pi"), mode="eval").body


def _value(node: ast.expr, numbers: Mapping[str, float]) -> float:
    """Value of a formula's tree; anything but sums, products, powers and the known functions is refused."""
    match node:
        case ast.Constant(value=int() | float() as number):
            return float(number)
        case ast.Name(id=name):
            return math.pi if name == "pi" else numbers[name]
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            return -_value(operand, numbers)
        case ast.BinOp(left=left, op=op, right=right) if type(op) in OPERATIONS:
            return OPERATIONS[type(op)](_value(left, numbers), _value(right, numbers))
        case ast.Call(func=ast.Name(id=name), args=[argument]) if name in FUNCTIONS:
            return FUNCTIONS[name](_value(argument, numbers))
    raise ValueError(f"a formula cannot hold {ast.dump(node)}")


def _tried(tree: ast.expr, numbers: Mapping[str, float]) -> float | None:
    try:
        value = _value(tree, numbers)
    except (ZeroDivisionError, OverflowError):
        return None
    except ValueError as error:
        if "math domain" in str(error) or "expected a" in str(error):
            return None
        raise
    return value if isinstance(value, float) and math.isfinite(value) else None


def worked(
    says: str,
    formula: str,
    unit: str,
    source: str,
    *,
    beside: tuple[Beside, ...] = (),
    situation: str = "",
    **letters: Quantity | None,
) -> Sum | Missing | None:
    """Work out a sum.

    Parameters
    ----------
    says : str
        What comes out.
    formula : str
        Its right-hand side.
    unit : str
        Kept unit of the result.
    source : str
        Where the formula comes from.
    beside : tuple of Beside, optional
        Numbers to stand beside it.
    situation : str, optional
        Where its solved voltages and currents belong.
    **letters : Quantity or None
        What each letter stands for, in SI units; None where it is not known.

    Returns
    -------
    Sum, Missing or None
        `Missing` where a letter has no number here; None where the formula has no value for these numbers.

    Raises
    ------
    KeyError
        The formula has a letter that is not given.

    Notes
    -----
    Uncertainty to first order, with slopes by central differences: inputs independent (JCGM 100:2008, 5.1.2) except for what
    they owe to the same parameter, which is added up before it is squared.

    Examples
    --------
    >>> one = worked("current", "V ÷ R", "A", "Ohm's law", V=Quantity(5.0, "V"), R=Quantity(1e3, "Ω", 10.0))
    >>> one.numbers, str(one.result)
    ('5 V ÷ 1 kΩ', '5.00 mA ± 0.10 mA')
    """
    given = {name: quantity for name, quantity in letters.items() if quantity is not None}
    if len(given) < len(letters):
        return Missing(
            says=says,
            formula=formula,
            letters=tuple(name for name in letters if name not in given),
            source=source,
        )
    tree = _parsed(formula)
    numbers = {name: quantity.value for name, quantity in given.items()}
    value = _tried(tree, numbers)
    if value is None:
        return None
    changes = _changes(tree, numbers, given)
    shown = NAME.sub(
        lambda found: _shown(found[0], given, raised=formula[found.end() :].startswith("^")), formula
    )
    return Sum(
        says=says,
        formula=formula,
        # A bare letter would only say its own number twice.
        numbers=formula if formula in given else shown,
        result=Quantity(value, unit, combined_uncertainty(changes) if any(changes) else 0.0),
        letters=given,
        source=source,
        beside=beside,
        situation=situation,
    )


def _changes(
    tree: ast.expr, numbers: Mapping[str, float], given: Mapping[str, Quantity]
) -> tuple[float, ...]:
    """Change that one standard deviation of each cause makes; what has no known cause is one of its own."""
    changes: dict[str | tuple[str, str], float] = {}
    for name, quantity in given.items():
        if not quantity.uncertainty:
            continue
        slope = _slope(tree, numbers, name, quantity)
        own = quantity.causes if isinstance(quantity, Caused) else {name: quantity.uncertainty}
        for cause, share in own.items():
            changes[cause] = changes.get(cause, 0.0) + slope * share
    return tuple(changes.values())


def _slope(tree: ast.expr, numbers: Mapping[str, float], name: str, quantity: Quantity) -> float:
    """Change of the result for each unit of a letter."""
    step = STEP * (abs(quantity.value) or 1.0)
    up = _tried(tree, {**numbers, name: quantity.value + step})
    down = _tried(tree, {**numbers, name: quantity.value - step})
    return 0.0 if up is None or down is None else (up - down) / (2.0 * step)


def _shown(name: str, given: Mapping[str, Quantity], *, raised: bool) -> str:
    """Number in place of a letter; in brackets where a sign or a power would be read as belonging to a part of it."""
    if name not in given:
        return name
    text = format_quantity(Quantity(given[name].value, given[name].unit))
    return f"({text})" if raised or text.startswith("−") else text
