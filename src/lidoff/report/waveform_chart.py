"""Solved waveforms as charts: one period of what feeds the circuit, what stores, and what shines."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit import Waveforms, kind_of
from lidoff.evidence import Curve
from lidoff.report.limits import FAINT
from lidoff.report.model import Picture
from lidoff.report.paint import PAGE, PAPER, Paint
from lidoff.report.panels import NARROW, WIDE, panels_svg

__all__ = ["MOST_CURVES", "shown_curves", "waveform_chart", "waveform_svg"]

MOST_CURVES = 4
"""Panels of one chart; more are not read."""
AT_REST = 0.01
"""Swing over the largest value below which a curve is not worth a panel."""
ALTERNATING = 0.5
"""The same for a supply that changes by itself, and is not only pulled at."""
LIGHT = ("led", "lamp")
"""Kinds whose current is shown: what a viewer sees flicker."""


def shown_curves(waveforms: Waveforms) -> tuple[Curve, ...]:
    """Curves that tell most of a period: supplies first, then stores, then light, then whatever swings most.

    Parameters
    ----------
    waveforms : Waveforms
        One period.

    Returns
    -------
    tuple of Curve
        At most `MOST_CURVES`, none of them at rest.
    """
    times = np.asarray(waveforms.times, dtype=np.float64)
    found: list[Curve] = []

    parts = [part for part in waveforms.circuit.parts if waveforms.has_path(part.reference)]
    highest = max(
        (float(np.abs(waveforms.part_voltage(part.reference)).max()) for part in parts), default=0.0
    )

    def add(name: str, unit: str, values: NDArray[np.float64]) -> None:
        if unit == "A" and float(np.abs(values).max(initial=0.0)) <= FAINT * highest:
            return
        moves = float(np.ptp(values)) > AT_REST * float(np.abs(values).max(initial=0.0))
        if moves and len(found) < MOST_CURVES and name not in {curve.name for curve in found}:
            found.append(
                Curve(times=times.copy(), low=values.copy(), high=values.copy(), mean=values.copy(), unit=unit, name=name)
            )  # fmt: skip

    for part in parts:
        if kind_of(part).supplies:
            across = np.asarray(waveforms.part_voltage(part.reference))
            if np.ptp(across) > ALTERNATING * np.abs(across).max(initial=0.0):
                add(f"voltage across {part.reference}", "V", across)
                add(f"current of {part.reference}", "A", -np.asarray(waveforms.current(part.reference)))
    stores = [part for part in parts if "electrolytic" in part.kind]
    for part in sorted(stores, key=lambda one: -float(one.values.get("capacitance", 0.0))):
        add(f"voltage across {part.reference}", "V", np.asarray(waveforms.part_voltage(part.reference)))
    for part in parts:
        if part.kind in LIGHT:
            add(f"current of {part.reference}", "A", np.asarray(waveforms.current(part.reference)))
    others = [(part.reference, np.asarray(waveforms.current(part.reference))) for part in parts]
    for reference, amperes in sorted(others, key=lambda one: -float(np.ptp(one[1]))):
        add(f"current of {reference}", "A", amperes)
    return tuple(found)


def waveform_svg(
    curves: Sequence[Curve], paint: Paint, *, narrow: bool = False, ground: bool = False
) -> tuple[str, float, float]:
    """Chart of curves in chosen colours.

    Parameters
    ----------
    curves : sequence of Curve
        From `shown_curves`.
    paint : Paint
        Colours.
    narrow : bool
        Whether it is to stand upright.
    ground : bool
        Whether to paint a ground.

    Returns
    -------
    (svg, width, height)
        With its natural size [px].
    """
    width = NARROW if narrow else WIDE
    span = (float(curves[0].times[0]), float(curves[0].times[-1]))
    svg, height = panels_svg(curves, span, width, paint, ground=ground)
    return svg, width, height


def waveform_chart(curves: Sequence[Curve]) -> Picture:
    """Chart of curves for the report."""
    wide, width, height = waveform_svg(curves, PAGE)
    return Picture(
        wide=wide,
        paper=waveform_svg(curves, PAPER)[0],
        narrow=waveform_svg(curves, PAGE, narrow=True)[0],
        width=width,
        height=height,
    )
