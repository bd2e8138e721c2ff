"""Charts of a report: claims beside what was found, and readings beside their predictions, each with its uncertainty."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lidoff.evidence import AGREES_TO, STRAINED_TO, ClaimResult, Comparison
from lidoff.report.model import Picture, Tone
from lidoff.report.paint import PAGE, PAPER, Paint, band, figure_svg, fitted, line, lines_of, mark, text
from lidoff.report.words import plain_name, score, verdict_tone, verdict_words

__all__ = ["claims_chart", "claims_svg", "fits_chart", "shown_claims"]

WIDE = 724.0
NARROW = 340.0
LARGEST_RATIO = 2.5
"""Values beyond this many times the printed one are shown at the edge, with a pointer."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _ClaimBar:
    """One claim on the common scale, where the printed value is 1."""

    says: str
    printed: str
    found: str
    verdict: str
    tone: Tone
    at: float
    half: float
    low: float | None
    high: float | None


def claims_chart(results: Sequence[ClaimResult]) -> Picture | None:
    """Claims beside what was found, each on a scale from zero on which the printed value stands at the same place.

    Parameters
    ----------
    results : sequence of ClaimResult
        Claims without a found value, or printed as zero or below, have no place on such a scale and are left out.

    Returns
    -------
    Picture or None
        None where no claim can be shown. Bars are the expanded uncertainty, k = 2.
    """
    bars = _bars(results)
    if not bars:
        return None
    reach = _reach(bars)
    wide, height = _claims_wide(bars, reach, PAGE)
    paper, _ = _claims_wide(bars, reach, PAPER)
    narrow, _ = _claims_narrow(bars, reach, PAGE)
    return Picture(wide=wide, paper=paper, narrow=narrow, width=WIDE, height=height)


def shown_claims(results: Sequence[ClaimResult]) -> tuple[ClaimResult, ...]:
    """Those claims that have a place on the chart."""
    return tuple(result for result in results if _bar(result) is not None)


def claims_svg(
    results: Sequence[ClaimResult], paint: Paint, *, narrow: bool = False
) -> tuple[str, float, float]:
    """Chart of claims in chosen colours, for a still.

    Parameters
    ----------
    results : sequence of ClaimResult
        Those of `shown_claims`, at least one.
    paint : Paint
        Colours.
    narrow : bool, optional
        Whether each claim stands under the last with its words under its scale.

    Returns
    -------
    svg : str
    width, height : float
        Natural size [px].
    """
    bars = _bars(results)
    svg, height = (_claims_narrow if narrow else _claims_wide)(bars, _reach(bars), paint)
    return svg, NARROW if narrow else WIDE, height


def _bars(results: Sequence[ClaimResult]) -> list[_ClaimBar]:
    return [bar for result in results if (bar := _bar(result)) is not None]


def _reach(bars: Sequence[_ClaimBar]) -> float:
    """End of the scale, as a multiple of what is printed."""
    return min(LARGEST_RATIO, max(1.25, *(1.08 * (bar.at + bar.half) for bar in bars)))


def _bar(result: ClaimResult) -> _ClaimBar | None:
    found = result.found
    claimed = 0.0 if result.claimed is None else result.claimed.value
    if found is None or claimed <= 0.0:
        return None
    return _ClaimBar(
        says=f"“{result.claim.says}”",
        printed=result.printed,
        found=result.shown,
        verdict=verdict_words(result.verdict),
        tone=verdict_tone(result.verdict),
        at=found.value / claimed,
        half=found.expanded / claimed,
        low=None if result.low is None else result.low / claimed,
        high=None if result.high is None else result.high / claimed,
    )


def _claims_wide(bars: Sequence[_ClaimBar], reach: float, paint: Paint) -> tuple[str, float]:
    left, right, top, step, line_step = 205.0, 500.0, 30.0, 52.0, 18.0
    names = [lines_of(bar.says, left - 24.0, 14.0, strong=True) for bar in bars]
    heights = [step + line_step * (len(name) - 1) for name in names]
    height = top + sum(heights) + 6.0

    def x_of(ratio: float) -> float:
        return left + (right - left) * ratio / reach

    parts = _claims_scale(x_of, top, height - 4.0, paint)
    row = top
    for number, (bar, name) in enumerate(zip(bars, names, strict=True)):
        if number:
            parts.append(line(0.0, row, WIDE, row, colour=paint.hairline, width=0.6))
        first = row + 22.0
        for place, words in enumerate(name):
            parts.append(text(words, 0, first + line_step * place, colour=paint.ink, strong=True))
        below = first + line_step * len(name)
        parts.append(text(f"printed: {bar.printed}", 0, below, colour=paint.quiet, size=13))
        parts.extend(_claim_marks(bar, x_of, reach, row + heights[number] / 2, paint))
        middle = row + heights[number] / 2
        parts.append(text(bar.found, right + 24, middle - 3, colour=paint.ink))
        verdict = fitted(bar.verdict, WIDE - right - 24, 13.0)
        parts.append(text(verdict, right + 24, middle + 15, colour=paint.of(bar.tone), size=13))
        row += heights[number]
    return figure_svg(parts, WIDE, height), height


def _claims_narrow(bars: Sequence[_ClaimBar], reach: float, paint: Paint) -> tuple[str, float]:
    left, right, top, step = 8.0, NARROW - 8.0, 26.0, 104.0
    height = top + step * len(bars)

    def x_of(ratio: float) -> float:
        return left + (right - left) * ratio / reach

    parts = [text("0", left, 16, colour=paint.quiet, size=12.5, anchor="middle")]
    parts.append(text("as printed", x_of(1.0), 16, colour=paint.quiet, size=12.5, anchor="middle"))
    for number, bar in enumerate(bars):
        y = top + step * number
        parts.append(
            text(fitted(bar.says, NARROW, 14.0, strong=True), 0, y + 16, colour=paint.ink, strong=True)
        )
        middle = y + 36
        parts.append(line(left, middle - 11, left, middle + 11, colour=paint.hairline))
        parts.extend(_claim_marks(bar, x_of, reach, middle, paint))
        parts.append(line(x_of(1.0), middle - 11, x_of(1.0), middle + 11, colour=paint.ink, width=1.6))
        said = f"printed {bar.printed}, found {bar.found}"
        parts.append(text(fitted(said, NARROW, 13.0), 0, y + 66, colour=paint.ink, size=13))
        parts.append(text(bar.verdict, 0, y + 84, colour=paint.of(bar.tone), size=13))
    return figure_svg(parts, NARROW, height), height


def _claims_scale(x_of: Callable[[float], float], top: float, bottom: float, paint: Paint) -> list[str]:
    """Zero and the printed value, with their names above."""
    return [
        line(x_of(0.0), top - 6, x_of(0.0), bottom, colour=paint.hairline),
        line(x_of(1.0), top - 6, x_of(1.0), bottom, colour=paint.ink, width=1.4),
        text("0", x_of(0.0), 14, colour=paint.quiet, size=13, anchor="middle"),
        text("as printed", x_of(1.0), 14, colour=paint.quiet, size=13, anchor="middle"),
    ]


def _claim_marks(
    bar: _ClaimBar, x_of: Callable[[float], float], reach: float, y: float, paint: Paint
) -> list[str]:
    """Where the claim would hold, the found value and its uncertainty."""

    def inside(ratio: float) -> float:
        return x_of(min(max(ratio, 0.0), reach))

    low = inside(0.0 if bar.low is None else bar.low)
    high = inside(reach if bar.high is None else bar.high)
    parts = [band(low, y - 9, high, y + 9, colour=paint.zone)]
    colour = paint.of(bar.tone)
    if bar.at > reach:
        edge = x_of(reach)
        parts.append(line(edge - 26, y, edge, y, colour=colour, width=2.0))
        parts.append(line(edge - 7, y - 5, edge, y, colour=colour, width=2.0))
        parts.append(line(edge - 7, y + 5, edge, y, colour=colour, width=2.0))
        return parts
    ends = inside(bar.at - bar.half), inside(bar.at + bar.half)
    if ends[1] - ends[0] > 18.0:  # a shorter bar lies behind the mark
        parts.append(line(ends[0], y, ends[1], y, colour=colour, width=2.0))
        parts.extend(line(end, y - 5, end, y + 5, colour=colour, width=2.0) for end in ends)
    parts.append(mark(bar.tone, inside(bar.at), y, paint=paint))
    return parts


def fits_chart(comparisons: Sequence[Comparison]) -> Picture | None:
    """Differences between prediction and reading, each in standard uncertainties of that difference.

    Parameters
    ----------
    comparisons : sequence of Comparison

    Returns
    -------
    Picture or None
        None without comparisons. The tinted band is where they agree.
    """
    if not comparisons:
        return None
    wide, height = _fits(comparisons, WIDE, 250.0, PAGE)
    paper, _ = _fits(comparisons, WIDE, 250.0, PAPER)
    narrow, _ = _fits(comparisons, NARROW, 118.0, PAGE)
    return Picture(wide=wide, paper=paper, narrow=narrow, width=WIDE, height=height)


def _fits(comparisons: Sequence[Comparison], width: float, left: float, paint: Paint) -> tuple[str, float]:
    right, top, step, reach = width - 70.0, 30.0, 24.0, STRAINED_TO + 1.5
    bottom = top + step * len(comparisons)
    height = bottom + 8.0

    def x_of(deviations: float) -> float:
        return (left + right) / 2 + (right - left) / 2 * deviations / reach

    parts = [band(x_of(-AGREES_TO), top - 4, x_of(AGREES_TO), bottom + 2, colour=paint.zone)]
    for deviations in (-STRAINED_TO, -AGREES_TO, 0.0, AGREES_TO, STRAINED_TO):
        colour = paint.ink if deviations == 0.0 else paint.hairline
        parts.append(line(x_of(deviations), top - 4, x_of(deviations), bottom + 2, colour=colour))
        said = f"{deviations:+.0f}".replace("-", "−") if deviations else "0"
        parts.append(text(said, x_of(deviations), 16, colour=paint.quiet, size=12.5, anchor="middle"))
    parts.append(text("u", right + 10, 16, colour=paint.quiet, size=12.5))
    for number, one in enumerate(comparisons):
        y = top + step * (number + 0.5)
        parts.append(
            text(fitted(plain_name(one.reading), left - 10, 13.0), 0, y + 4.5, colour=paint.ink, size=13)
        )
        tone: Tone = {"agrees": "borne-out", "strained": "open", "misfit": "not-borne-out"}[one.fit]  # type: ignore[assignment]
        place = min(max(one.score, -reach), reach)
        parts.append(mark(tone, x_of(place), y, paint=paint, radius=4.6))
        if place != one.score:  # beyond the scale: a pointer outwards
            tip = 1.0 if place > 0 else -1.0
            x = x_of(place) + 13.0 * tip
            colour = paint.of(tone)
            parts.append(line(x, y - 4.5, x + 4.5 * tip, y, colour=colour, width=1.8))
            parts.append(line(x, y + 4.5, x + 4.5 * tip, y, colour=colour, width=1.8))
        parts.append(text(score(one), width, y + 4.5, colour=paint.ink, size=13, anchor="end"))
    return figure_svg(parts, width, height), height
