"""Charts of what changes over time: a panel a curve over one common axis of time."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from lidoff.evidence import Curve
from lidoff.fonts import text_width
from lidoff.quantities import Quantity, format_quantity
from lidoff.report.paint import Paint, band, figure_svg, fitted, line, text

__all__ = ["NARROW", "WIDE", "panels_svg"]

WIDE = 724.0
NARROW = 340.0
PANEL = 118.0
BETWEEN = 40.0
AXIS = 34.0
TIMES = (
    *(1.0, 2.0, 5.0, 10.0, 15.0, 30.0),
    *(60.0, 120.0, 300.0, 600.0, 900.0, 1800.0),
    *(3600.0, 7200.0, 10800.0, 21600.0, 43200.0, 86400.0),
)
"""Steps of the time axis that people count in [s]."""
SLACK = 0.02
"""Share of a step by which a value may pass the outer levels."""
Across = Callable[[float], float]


def panels_svg(
    curves: Sequence[Curve],
    span: tuple[float, float],
    width: float,
    paint: Paint,
    *,
    ground: bool = False,
    tinted: Mapping[str, Sequence[tuple[float, float]]] | None = None,
) -> tuple[str, float]:
    """Curves over one common time.

    Parameters
    ----------
    curves : sequence of Curve
        At least one, each with a number.
    span : (float, float)
        First and last time shown [s].
    width : float
        Of the picture [px].
    paint : Paint
        Colours.
    ground : bool
        Whether to paint a ground with a margin.
    tinted : mapping of str to sequence of (float, float)
        By name of a curve: stretches of time that stand out.

    Returns
    -------
    svg : str
        The picture.
    height : float
        Its height [px].
    """
    start, end = span
    margin = 24.0 if ground else 0.0
    names = max(text_width(label, 12.0) for curve in curves for label in _levels(curve)[1])
    left, right = margin + names + 10.0, width - margin - 6.0

    def across(seconds: float) -> float:
        return left + (right - left) * (seconds - start) / (end - start)

    parts: list[str] = []
    top = margin + 22.0
    height = top + len(curves) * (PANEL + BETWEEN) - BETWEEN + AXIS + margin
    if ground:
        parts.append(band(0.0, 0.0, width, height, colour=paint.ground))
    for number, curve in enumerate(curves):
        y = top + number * (PANEL + BETWEEN)
        colour = {"V": paint.supply, "A": paint.accent}.get(curve.unit, paint.slate)
        parts.append(text(fitted(curve.name, right - left, 14.0), left, y - 8, colour=paint.ink, strong=True))
        parts.extend(
            band(across(first), y, across(last), y + PANEL, colour=paint.zone)
            for first, last in (tinted or {}).get(curve.name, ())
        )
        parts.extend(_panel(curve, across, y, left, right, colour, paint))
    parts.extend(_time_axis(start, end, across, top, height - margin - AXIS, paint, right - left))
    return figure_svg([part for part in parts if part], width, height), height


def _panel(
    curve: Curve, across: Across, y: float, left: float, right: float, colour: str, paint: Paint
) -> list[str]:
    """One channel: levels, the band between lowest and highest, and the mean."""
    levels, labels = _levels(curve)
    low, high = levels[0], levels[-1]

    def up(value: float) -> float:
        return y + PANEL - PANEL * (value - low) / (high - low)

    parts = []
    for level, label in zip(levels, labels, strict=True):
        parts.append(line(left, up(level), right, up(level), colour=paint.hairline, width=0.8))
        parts.append(text(label, left - 8, up(level) + 4, colour=paint.quiet, size=12.0, anchor="end"))
    for piece in _pieces(curve):
        xs = [across(float(at)) for at in curve.times[piece]]
        highs = [up(float(value)) for value in curve.high[piece]]
        lows = [up(float(value)) for value in curve.low[piece]]
        means = [up(float(value)) for value in curve.mean[piece]]
        if max(b - a for a, b in zip(highs, lows, strict=True)) > 1.0:
            outline = [*zip(xs, highs, strict=True), *reversed(list(zip(xs, lows, strict=True)))]
            parts.append(f'<path d="{_path(outline)}Z" style="fill:{colour};fill-opacity:.28;stroke:none"/>')
        stroke = f"fill:none;stroke:{colour};stroke-width:1.6;stroke-linejoin:round;stroke-linecap:round"
        points = list(zip(xs, means, strict=True))
        parts.append(f'<path d="{_path(points if len(points) > 1 else points * 2)}" style="{stroke}"/>')
    return parts


def _pieces(curve: Curve) -> list[slice]:
    """Stretches of a curve between its breaks."""
    told = np.isfinite(curve.mean)
    edges = np.flatnonzero(np.diff(np.concatenate([[0], told.astype(np.int8), [0]])))
    return [slice(int(first), int(behind)) for first, behind in zip(edges[0::2], edges[1::2], strict=True)]


def _path(points: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _levels(curve: Curve) -> tuple[list[float], list[str]]:
    """Levels that hold a channel, round numbers in steps that people count in, with their labels."""
    told = np.isfinite(curve.mean)
    low, high = float(curve.low[told].min()), float(curve.high[told].max())
    if low >= 0.0 and low < 0.5 * high:
        low = 0.0  # a current that was switched off is seen as none
    if high - low < 1e-12 * max(abs(high), abs(low), 1e-300):
        half = 0.1 * abs(high) or 1.0
        low, high = low - half, high + half
    step = _round_step((high - low) / 3.0)
    first, last = math.floor(low / step + SLACK), math.ceil(high / step - SLACK)
    levels = [step * number for number in range(first, last + 1)]
    unit = ""
    if curve.unit:
        largest = format_quantity(Quantity(max(abs(levels[0]), abs(levels[-1])), curve.unit))
        unit = largest.rpartition(" ")[2] if " " in largest else curve.unit
    return levels, [_label(level, curve.unit, unit, step) for level in levels]


def _round_step(rough: float) -> float:
    """Step of 1, 2 or 5 times a power of ten, not below the rough one."""
    power = 10.0 ** math.floor(math.log10(rough))
    return next(power * factor for factor in (1.0, 2.0, 5.0, 10.0) if power * factor >= rough * (1 - 1e-9))


def _label(level: float, kept: str, unit: str, step: float) -> str:
    """Label of a level, in the unit of the largest of its axis."""
    shown = 0.0 if abs(level) < 1e-6 * step else level
    if not unit:
        return f"{shown:g}".replace("-", "−")
    return format_quantity(Quantity(shown, kept), shown_in=unit)


def _time_axis(
    start: float,
    end: float,
    across: Across,
    top: float,
    bottom: float,
    paint: Paint,
    room: float,
) -> list[str]:
    """Times below the lowest panel, counted from the first."""
    span = end - start
    most = max(int(room / 90.0), 2)
    step = next((one for one in TIMES if span / one <= most), 86400.0 * math.ceil(span / 86400.0 / most))
    if span < most * TIMES[0]:
        step = _round_step(span / most)
    parts = []
    for at in np.arange(0.0, span + 1e-9 * step, step):
        x = across(start + float(at))
        parts.append(line(x, top, x, bottom, colour=paint.hairline, width=0.5))
        parts.append(
            text(
                _time_words(float(np.round(at, 9)), step),
                x,
                bottom + 20,
                colour=paint.quiet,
                size=12.0,
                anchor="middle",
            )
        )
    return parts


def _time_words(seconds: float, step: float) -> str:
    """Time since the first, in the units that the step is counted in."""
    if seconds and step < 1.0:
        return format_quantity(Quantity(seconds, "s"))
    if step % 86400.0 == 0.0 or not seconds:
        return f"{seconds / 86400.0:g} d" if seconds else "0"
    if step % 3600.0 == 0.0:
        return f"{seconds / 3600.0:g} h"
    if step % 60.0 == 0.0:
        hours, rest = divmod(round(seconds / 60.0), 60)
        return " ".join(filter(None, (f"{hours} h" if hours else "", f"{rest} min" if rest else "")))
    minutes, left = divmod(seconds, 60.0)
    return " ".join(filter(None, (f"{minutes:g} min" if minutes else "", f"{left:g} s" if left else "")))
