"""Sums over a log: charge, energy and means by the trapezoid rule, with every cause of doubt told apart.

Letters: x(t) a channel or the product of two, t_i the times of its rows, s the step of its last digit.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.evidence.instrument import MEASURES, Instrument, usual_measure
from lidoff.evidence.logs.cutoff import Cut
from lidoff.evidence.logs.log import Channel, Log
from lidoff.evidence.logs.order import GAP
from lidoff.quantities import Quantity, resolution_uncertainty, standard_from_limits

__all__ = ["Integral", "half_widths", "integrate", "mean_over"]

Array = NDArray[np.float64]
_RESULTS: Mapping[tuple[str, ...], str] = {("A",): "Ah", ("W",): "Wh", ("A", "V"): "Wh"}
"""Units of the channels, sorted → unit of their sum over time."""
_HOUR = 3600.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Integral:
    """One sum over a stretch of a log.

    Attributes
    ----------
    quantity : Quantity
        The sum, with its combined standard uncertainty.
    duration : Quantity
        Time summed over.
    parts : mapping of str to float
        Standard uncertainty of each cause, in the sum's unit: accuracy, resolution, sampling, gaps, ends, clock.
    forward, backward : float
        What flowed in each direction, both from zero up, in the sum's unit; their difference is the sum.
    rows : int
        Rows that it rests on.
    notes : tuple of str
        What was assumed.
    """

    quantity: Quantity
    duration: Quantity
    parts: Mapping[str, float]
    forward: float
    backward: float
    rows: int
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class _Piece:
    """Rows of a stretch: times, factors of the product, and which intervals are gaps."""

    times: Array
    factors: tuple[Array, ...]
    gaps: NDArray[np.bool_] = field(default_factory=lambda: np.zeros(0, dtype=bool))

    @property
    def product(self) -> Array:
        return np.asarray(np.prod(np.vstack(self.factors), axis=0), dtype=np.float64)


def integrate(
    log: Log,
    channels: Sequence[str],
    *,
    start: Quantity | Cut | None = None,
    end: Quantity | Cut | None = None,
    instruments: Mapping[str, Instrument] | None = None,
    on_ranges: Mapping[str, str] | None = None,
    clock: Instrument | None = None,
) -> Integral:
    """Charge or energy over a stretch of a log.

    Parameters
    ----------
    log : Log
        The log.
    channels : sequence of str
        A current for charge; a power, or a voltage and a current, for energy.
    start, end : Quantity or Cut, optional
        Ends of the stretch, from the first row; the log's own ends if not given [s]. Between a cut and its row the
        channels hold what the row shows; elsewhere they follow the straight line from row to row.
    instruments : mapping of str to Instrument, optional
        By channel; without one only the digits of the channel count.
    on_ranges : mapping of str to str, optional
        By channel: full scale of the range it was on, if not the smallest that holds each value.
    clock : Instrument, optional
        What the times came from, if its accuracy is known.

    Returns
    -------
    Integral
        Trapezoids over all rows with a number. Causes of uncertainty, taken as independent of each other:

        * accuracy: the instrument's error keeps its sign over the whole log, so the limits are summed over time (√3);
        * resolution: step/√12 a row; summed over time where the readings stand still, else as independent;
        * sampling: the sum over every second row differs from that over all by at most this (√3);
        * gaps: there the channel may have been anywhere between its lowest and highest value (√3);
        * ends: the value there times the uncertainty of the moment;
        * clock: its accuracy, as a share of the sum.

    Raises
    ------
    UnknownName
        There is no such channel, or an instrument cannot measure it.
    ImpossibleValue
        The channels make neither charge nor energy, or fewer than two rows lie in the stretch.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7, 5.1.2, F.1.2.3 (errors shared by all readings), F.2.2.1.
    """
    named = [log.channel(name) for name in channels]
    unit = _RESULTS.get(tuple(sorted(one.unit for one in named)))
    if unit is None:
        made = " and ".join(f"{one.name} in {one.unit or 'no known unit'}" for one in named)
        raise ImpossibleValue(
            f"{made} make neither charge nor energy",
            remedy="sum a current, a power, or a voltage and a current",
        )
    summed = _summed(log, named, start, end, instruments or {}, on_ranges or {}, clock)
    return replace(
        summed,
        quantity=Quantity(summed.quantity.value / _HOUR, unit, summed.quantity.uncertainty / _HOUR),
        parts={cause: size / _HOUR for cause, size in summed.parts.items()},
        forward=summed.forward / _HOUR,
        backward=summed.backward / _HOUR,
    )


def mean_over(
    log: Log,
    channel: str,
    *,
    start: Quantity | Cut | None = None,
    end: Quantity | Cut | None = None,
    instruments: Mapping[str, Instrument] | None = None,
    on_ranges: Mapping[str, str] | None = None,
) -> Integral:
    """Mean of a channel over a stretch of a log, each moment counting alike however the rows lie.

    Parameters
    ----------
    log : Log
        The log.
    channel : str
        Name of the channel.
    start, end : Quantity or Cut, optional
        As for `integrate` [s].
    instruments : mapping of str to Instrument, optional
        As for `integrate`.
    on_ranges : mapping of str to str, optional
        As for `integrate`.

    Returns
    -------
    Integral
        Its quantity and parts are the mean and what makes it doubtful, in the channel's unit. The ends and the clock move
        the sum and the duration alike, and are left out.

    Raises
    ------
    UnknownName, ImpossibleValue
        As for `integrate`, and where the channel's unit is not known.
    """
    one = log.channel(channel)
    if not one.unit:
        raise ImpossibleValue(
            f"the unit of {one.name} in {log.name} is not known",
            remedy=f'tell it: units = {{ "{one.name}" = "mA" }}',
        )
    summed = _summed(log, [one], start, end, instruments or {}, on_ranges or {}, None)
    span = summed.duration.value
    parts = {
        cause: 0.0 if cause in ("ends", "clock") else size / span for cause, size in summed.parts.items()
    }
    return replace(
        summed,
        quantity=Quantity(summed.quantity.value / span, one.unit, math.hypot(*parts.values())),
        parts=parts,
        forward=summed.forward / span,
        backward=summed.backward / span,
        notes=tuple(note for note in summed.notes if "clock" not in note),
    )


def _summed(
    log: Log,
    named: Sequence[Channel],
    start: Quantity | Cut | None,
    end: Quantity | Cut | None,
    instruments: Mapping[str, Instrument],
    on_ranges: Mapping[str, str],
    clock: Instrument | None,
) -> Integral:
    """Sum of the channels' product over seconds; its unit stands for the product's times seconds."""
    begins = (start.at if isinstance(start, Cut) else start) or Quantity(float(log.times[0]), "s")
    ends = (end.at if isinstance(end, Cut) else end) or Quantity(float(log.times[-1]), "s")
    held = (
        start.row if isinstance(start, Cut) else -math.inf,
        end.row if isinstance(end, Cut) else math.inf,
    )
    piece = _piece(log, named, begins.value, ends.value, held)
    steps = np.diff(piece.times)
    product = piece.product
    total = math.fsum(0.5 * steps * (product[1:] + product[:-1]))
    accuracy, notes = _accuracy(named, piece, instruments, on_ranges)
    span = float(piece.times[-1] - piece.times[0])
    parts = {
        "accuracy": accuracy,
        "resolution": math.hypot(*(_resolution(one, piece, place) for place, one in enumerate(named))),
        "sampling": _sampling(piece),
        "gaps": _gaps(piece),
        "ends": math.hypot(product[0] * begins.uncertainty, product[-1] * ends.uncertainty),
        "clock": 0.0 if clock is None else abs(total) * _clock_share(clock, span),
    }
    if clock is None:
        notes.append("The clock of the log is taken as right.")
    if any(one.overloads for one in named):
        notes.append("Where a channel was beyond its range the true value is larger than the sum has it.")
    forward, backward = _directions(steps, product)
    return Integral(
        quantity=Quantity(total, named[0].unit or "1", math.hypot(*parts.values())),
        duration=Quantity(span, "s", math.hypot(begins.uncertainty, ends.uncertainty)),
        parts=parts,
        forward=forward,
        backward=backward,
        rows=len(product),
        notes=tuple(notes),
    )


def _piece(
    log: Log, channels: Sequence[Channel], begins: float, ends: float, held: tuple[float, float]
) -> _Piece:
    """Rows of a stretch that have all numbers, with rows put in at its ends; outside of what is held nothing changes."""
    told = np.all([np.isfinite(one.values) for one in channels], axis=0)
    times = log.times[told]
    if len(times) < 2 or not ends > begins:
        raise ImpossibleValue(
            f"no two rows with numbers lie between {begins:g} s and {ends:g} s of {log.name}",
            remedy="name a longer stretch of the log",
        )
    begins, ends = max(begins, float(times[0])), min(ends, float(times[-1]))
    inside = (times > begins) & (times < ends)
    at = np.concatenate([[begins], times[inside], [ends]])
    # The row of a cut may lack a number; then the next one within the run holds.
    first = float(times[np.searchsorted(times, min(held[0], float(times[-1])))])
    last = float(times[np.searchsorted(times, max(held[1], float(times[0])), side="right") - 1])
    seen = np.clip(at, min(first, last), last)
    factors = tuple(np.interp(seen, times, one.values[told]) for one in channels)
    if not ends > begins:
        raise ImpossibleValue(f"the stretch of {log.name} has no length", remedy="let it end after it starts")
    return _Piece(times=at, factors=factors, gaps=np.diff(at) > GAP * log.interval)


def half_widths(
    instrument: Instrument, channel: Channel, values: Array, *, on_range: str = "", measures: str = ""
) -> Array:
    """Limits of an instrument's error at each value of a channel.

    Parameters
    ----------
    instrument : Instrument
        What measured the channel.
    channel : Channel
        Tells unit and step.
    values : ndarray of shape (N,)
        In the channel's unit.
    on_range : str, optional
        Full scale of the one range used; else each value counts on the smallest range that holds it.
    measures : str, optional
        One of `MEASURES`, if not the usual one for the unit.

    Returns
    -------
    ndarray of shape (N,)
        Half-widths, in the channel's unit.

    Raises
    ------
    UnknownName
        The instrument has no range for it.
    ImpossibleValue
        A value lies beyond all its ranges.
    """
    kind = measures or usual_measure(channel.unit)
    factor = Quantity(1.0, MEASURES.get(kind, channel.unit)).value_in(channel.unit)
    size = np.abs(values) / factor
    found = np.full(len(values), np.nan)
    left = np.ones(len(values), dtype=bool)
    while np.any(left):
        lowest = instrument.range_for(kind, float(size[left].min()), on_range)
        holds = left & (size <= (math.inf if lowest.full_scale is None else lowest.full_scale))
        step = lowest.step if lowest.step is not None else channel.step / factor
        found[holds] = factor * lowest.limits.half_widths(size[holds], step, full_scale=lowest.full_scale)
        left &= ~holds
    return found


def _accuracy(
    channels: Sequence[Channel],
    piece: _Piece,
    instruments: Mapping[str, Instrument],
    on_ranges: Mapping[str, str],
) -> tuple[float, list[str]]:
    """Standard uncertainty from the instruments' limits, each wrong the same way all the time."""
    found, notes = [], []
    for place, one in enumerate(channels):
        if one.name not in instruments:
            notes.append(f"No accuracy is known for {one.name}; only its digits count.")
            continue
        widths = half_widths(
            instruments[one.name], one, piece.factors[place], on_range=on_ranges.get(one.name, "")
        )
        weights = np.abs(_others(piece, place))
        found.append(standard_from_limits(_over_time(piece.times, widths * weights)))
    return math.hypot(*found), notes


def _others(piece: _Piece, place: int) -> Array:
    """Product of all factors but one."""
    rest = [factor for other, factor in enumerate(piece.factors) if other != place]
    return np.asarray(np.prod(np.vstack(rest), axis=0)) if rest else np.ones(len(piece.times))


def _over_time(times: Array, values: Array) -> float:
    return math.fsum(0.5 * np.diff(times) * (values[1:] + values[:-1]))


def _resolution(channel: Channel, piece: _Piece, place: int) -> float:
    """Standard uncertainty from the last digit."""
    if channel.step == 0.0:
        return 0.0
    weights = np.abs(_others(piece, place))
    steady = np.count_nonzero(np.abs(np.diff(piece.factors[place])) < 0.5 * channel.step)
    digit = resolution_uncertainty(channel.step)
    if steady > 0.5 * (len(piece.times) - 1):
        return digit * _over_time(piece.times, weights)  # the same rounding all the time
    lengths = np.gradient(piece.times) * weights
    return digit * float(np.sqrt(np.sum(lengths**2)))


def _sampling(piece: _Piece) -> float:
    """Standard uncertainty from what the channel did between the rows, by summing over every second row."""
    cuts = np.flatnonzero(piece.gaps) + 1
    product = piece.product
    differences = np.zeros(2)
    for times, values in zip(np.split(piece.times, cuts), np.split(product, cuts), strict=True):
        if len(times) < 3:
            continue
        whole = _over_time(times, values)
        for start in (0, 1):
            rows = np.unique(np.concatenate([[0], np.arange(start, len(times), 2), [len(times) - 1]]))
            differences[start] += _over_time(times[rows], values[rows]) - whole
    return standard_from_limits(float(np.max(np.abs(differences))))


def _gaps(piece: _Piece) -> float:
    """Standard uncertainty from gaps."""
    product = piece.product
    lengths = np.diff(piece.times)[piece.gaps]
    middle = (0.5 * (product[1:] + product[:-1]))[piece.gaps]
    away = np.maximum(product.max() - middle, middle - product.min())
    return math.hypot(*(standard_from_limits(float(size)) for size in lengths * away))


def _clock_share(clock: Instrument, span: float) -> float:
    """Relative standard uncertainty of a time as long as the stretch."""
    used = clock.range_for("time", span)
    step = used.step or 0.0
    return used.limits.standard_uncertainty(span, step, full_scale=used.full_scale) / span


def _directions(steps: Array, product: Array) -> tuple[float, float]:
    """What flowed forward and backward; a line that passes zero is parted there."""
    before, after = product[:-1], product[1:]
    crossing = before * after < 0.0
    share = np.divide(
        np.abs(before), np.abs(before) + np.abs(after), out=np.ones_like(before), where=crossing
    )
    first = 0.5 * steps * np.where(crossing, before * share, before + after)
    second = np.where(crossing, 0.5 * steps * after * (1.0 - share), 0.0)
    both = np.concatenate([first, second])
    return math.fsum(both[both > 0.0]), math.fsum(-both[both < 0.0])
