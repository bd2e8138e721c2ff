"""A channel as a curve that fits a page: as many columns as there is room for, each with its lowest and highest value."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs.log import Channel, Log
from lidoff.evidence.logs.order import gaps_of

__all__ = ["Curve", "curve_of"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """One channel for drawing.

    Attributes
    ----------
    times : ndarray of shape (P,)
        Middle of each column [s].
    low, high, mean : ndarray of shape (P,)
        Lowest, highest and mean value in it, in the channel's unit; NaN where the curve is to break.
    unit : str
        Kept unit of the channel.
    name : str
        Of the channel.
    """

    times: NDArray[np.float64]
    low: NDArray[np.float64]
    high: NDArray[np.float64]
    mean: NDArray[np.float64]
    unit: str
    name: str

    def __post_init__(self) -> None:
        """Keep the numbers from being written to."""
        for one in (self.times, self.low, self.high, self.mean):
            one.setflags(write=False)


def curve_of(log: Log, channel: Channel, *, points: int = 800) -> Curve:
    """Curve of a channel, thinned so that no peak is lost.

    Parameters
    ----------
    log : Log
        The log.
    channel : Channel
        One of its channels.
    points : int, optional
        Columns at most, two at least.

    Returns
    -------
    Curve
        Every row itself where there are no more than `points`; breaks at gaps and where rows have no number.

    Raises
    ------
    ImpossibleValue
        Fewer than two points are asked for.
    """
    if points < 2:
        raise ImpossibleValue(f"a curve of {points} points", remedy="ask for two at least")
    times, values = log.times, channel.values
    breaks = gaps_of(times)
    if len(times) <= points:
        ends = breaks + 1
        at = np.insert(times, ends, 0.5 * (times[breaks] + times[ends]))
        column = np.insert(values, ends, np.nan)
        return Curve(
            times=at, low=column, high=column.copy(), mean=column.copy(), unit=channel.unit, name=channel.name
        )
    edges = np.linspace(times[0], times[-1], points + 1)
    place = np.clip(np.searchsorted(edges, times, side="right") - 1, 0, points - 1)
    told = np.isfinite(values)
    low, high = np.full(points, np.inf), np.full(points, -np.inf)
    np.minimum.at(low, place[told], values[told])
    np.maximum.at(high, place[told], values[told])
    counts = np.bincount(place[told], minlength=points)
    with np.errstate(invalid="ignore", divide="ignore"):
        mean = np.bincount(place[told], weights=values[told], minlength=points) / counts
    empty = counts == 0
    # A column without rows breaks the curve only in a gap; else the interval is merely wider than a column.
    low[empty] = high[empty] = mean[empty] = np.nan
    middle = 0.5 * (edges[:-1] + edges[1:])
    kept = ~empty
    for row in breaks:
        kept |= empty & (middle > times[row]) & (middle < times[row + 1])
    unread = np.bincount(place[~told], minlength=points) > 0
    kept |= empty & unread
    return Curve(
        times=middle[kept],
        low=low[kept],
        high=high[kept],
        mean=mean[kept],
        unit=channel.unit,
        name=channel.name,
    )
