"""A voltage budget as a staircase: from what the supplies raise down to nought, one step a part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.insight import Budget, Step
from lidoff.quantities import Quantity, format_quantity
from lidoff.report.model import Picture
from lidoff.report.paint import PAGE, PAPER, Paint, band, figure_svg, fitted, line, lines_of, text
from lidoff.report.words import amount, counted, percent, typeset

__all__ = ["budget_alt", "budget_chart", "budget_svg", "in_order"]

WIDE = 724.0
NARROW = 340.0
LEAST = 0.01
"""Share of all drops below which steps are drawn together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stair:
    """One row of the chart: what drops, from which height to which [V]."""

    name: str
    said: str
    top: float
    bottom: float
    raises: bool = False


def in_order(budget: Budget) -> tuple[Step, ...]:
    """Steps of a budget, beginning with the part that raises most."""
    steps = budget.steps
    if not any(step.raises for step in steps):
        return steps
    first = min(range(len(steps)), key=lambda number: steps[number].volts.value)
    return (*steps[first:], *steps[:first])


def _stairs(budget: Budget) -> list[_Stair]:
    stairs: list[_Stair] = []
    height = 0.0
    small: list[Step] = []
    small_top = 0.0
    for step in in_order(budget):
        start, height = height, height - step.volts.value
        if step.raises:
            said = f"raises {amount(_positive(step), with_uncertainty=True)}"
            stairs.append(_Stair(name=step.reference, said=said, top=height, bottom=start, raises=True))
        elif step.share < LEAST:
            small_top = small_top if small else start
            small.append(step)
        else:
            said = f"{amount(step.volts)} ({percent(step.share)})"
            stairs.append(_Stair(name=step.reference, said=said, top=start, bottom=height))
    if small:
        total = sum(step.volts.value for step in small)
        names = list(dict.fromkeys(step.reference for step in small))
        name = names[0] if len(names) == 1 else counted(len(names), "other")
        said = format_quantity(Quantity(total, "V"), digits=2) + ("" if len(names) == 1 else " together")
        stairs.append(_Stair(name=name, said=said, top=total, bottom=0.0))
    return stairs


def _positive(step: Step) -> Quantity:
    """What a part that raises the voltage raises."""
    return Quantity(-step.volts.value, step.volts.unit, step.volts.uncertainty, step.volts.dof)


def budget_svg(budget: Budget, paint: Paint, *, narrow: bool = False) -> tuple[str, float, float]:
    """Chart of a budget in chosen colours.

    Parameters
    ----------
    budget : Budget
        With at least one step.
    paint : Paint
        Colours.
    narrow : bool, optional
        Whether the words of each step stand under its bar.

    Returns
    -------
    svg : str
    width, height : float
        Natural size [px].
    """
    stairs = _stairs(budget)
    width = NARROW if narrow else WIDE
    left, right = (4.0, width - 4.0) if narrow else (110.0, 500.0)
    step = 50.0 if narrow else 30.0
    top = 26.0
    highest = max((stair.top for stair in stairs), default=1.0) or 1.0
    height = top + step * len(stairs) + 8.0

    def x_of(volts: float) -> float:
        return left + (right - left) * max(volts, 0.0) / highest

    parts = [
        text("0 V", x_of(0.0), 14, colour=paint.quiet, size=12.5, anchor="start" if narrow else "middle"),
        text(f"{highest:.3g} V", x_of(highest), 14, colour=paint.quiet, size=12.5, anchor="end"),
        line(x_of(0.0), top - 4, x_of(0.0), height - 4, colour=paint.hairline),
    ]
    for number, stair in enumerate(stairs):
        y = top + step * number
        middle = y + 15.0
        colour = paint.supply if stair.raises else paint.borne_out
        low, high = x_of(stair.bottom), x_of(stair.top)
        parts.append(band(low, middle - 8, max(high, low + 2.0), middle + 8, colour=colour))
        if not stair.raises and number + 1 < len(stairs):
            parts.append(line(low, middle + 8, low, y + step + 7, colour=paint.hairline))
        if narrow:
            said = fitted(f"{stair.name}  {stair.said}", width, 13.0)
            parts.append(text(said, 0, y + 38, colour=paint.ink, size=13))
        else:
            name = fitted(stair.name, left - 12, 14.0, strong=True)
            parts.append(text(name, 0, middle + 5, colour=paint.ink, size=14, strong=True))
            lines = lines_of(typeset(stair.said), width - right - 16, 13.0)
            for place, said in enumerate(lines):
                y_said = middle + 5 + 14.0 * (place - (len(lines) - 1) / 2)
                parts.append(text(said, right + 16, y_said, colour=paint.ink, size=13))
    return figure_svg(parts, width, height), width, height


def budget_chart(budget: Budget) -> Picture:
    """Chart of a budget for page and paper."""
    wide, width, height = budget_svg(budget, PAGE)
    narrow, _, _ = budget_svg(budget, PAGE, narrow=True)
    paper, _, _ = budget_svg(budget, PAPER)
    return Picture(wide=wide, narrow=narrow, paper=paper, width=width, height=height)


def budget_alt(budget: Budget) -> str:
    """The same in words."""
    told: Sequence[str] = [
        f"{step.reference} {'raises' if step.raises else 'drops'} "
        f"{amount(_positive(step) if step.raises else step.volts)}"
        for step in in_order(budget)
    ]
    return f"Voltage budget of the loop through {budget.about}: {'; '.join(told)}."
