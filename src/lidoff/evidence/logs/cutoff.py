"""Moments in a log: when a channel passes a level, and the stretches in which the device ran."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.evidence.logs.log import Channel, Log
from lidoff.quantities import Quantity, format_quantity, standard_from_limits

__all__ = ["Cut", "Stretch", "moment_of", "running_stretches"]

RUNS_FROM = 0.05
"""Share of the usual high level from which a channel counts as running; our choice."""
LASTS = 3
"""Rows that a channel must stay off for the run to have ended, so that one dropped row does not end it; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A moment at which the device was switched: the channels jump there, so no straight line leads through it.

    Attributes
    ----------
    at : Quantity
        When, from the first row of the log [s].
    row : float
        Time of the row next to it in which the device ran; what that row shows holds up to the moment [s].
    """

    at: Quantity
    row: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One stretch of a log in which a channel ran.

    Attributes
    ----------
    start, end : float
        Times of its first and last row [s].
    before, after : float
        Times of the rows that do not belong to it any more; the true moments lie between [s].
    ended : bool
        Whether the channel was cut off, rather than the log.
    """

    start: float
    end: float
    before: float
    after: float
    ended: bool

    @property
    def duration(self) -> Quantity:
        """How long it lasted; each end lies anywhere between two rows."""
        begins, ends = self.switched_on.at, self.cut_off.at
        return Quantity(ends.value - begins.value, "s", float(np.hypot(begins.uncertainty, ends.uncertainty)))

    @property
    def switched_on(self) -> Cut:
        """When it began."""
        return Cut(at=_between(self.before, self.start), row=self.start)

    @property
    def cut_off(self) -> Cut:
        """When it ended."""
        return Cut(at=_between(self.end, self.after), row=self.end)


def _between(early: float, late: float) -> Quantity:
    """Anywhere between two times, from the first row of the log."""
    return Quantity(0.5 * (early + late), "s", standard_from_limits(0.5 * (late - early)))


def running_stretches(log: Log, channel: str, *, above: float | None = None) -> tuple[Stretch, ...]:
    """Stretches in which a channel ran: charged, discharged, or was switched on.

    Parameters
    ----------
    log : Log
        The log.
    channel : str
        Name of the channel, such as the current.
    above : float, optional
        Size from which it counts as running, in the channel's unit; a twentieth of its usual high level if not given.

    Returns
    -------
    tuple of Stretch
        In the order of time. Fewer than three rows off do not end one; a current that turns round does.

    Raises
    ------
    UnknownName
        The log has no such channel.
    ImpossibleValue
        The level is not above zero.
    """
    one = log.channel(channel)
    size = np.abs(one.values)
    finite = size[np.isfinite(size)]
    if not finite.size or float(finite.max()) == 0.0:
        return ()
    level = RUNS_FROM * float(np.quantile(finite, 0.9)) if above is None else above
    if level <= 0.0:
        level = RUNS_FROM * float(finite.max())
    if above is not None and not above > 0.0:
        raise ImpossibleValue(f"a level of {above}", remedy="give one above zero")
    told = np.isfinite(size)
    forth, back = _bridged(one.values >= level, told), _bridged(one.values <= -level, told)
    if np.any(forth & back):
        # It goes to and fro from row to row, so only its size says whether it runs.
        return tuple(_stretches(log.times, _bridged(size >= level, told)))
    return tuple(
        sorted((*_stretches(log.times, forth), *_stretches(log.times, back)), key=lambda run: run.start)
    )


def _stretches(times: NDArray[np.float64], runs: NDArray[np.bool_]) -> list[Stretch]:
    """Stretches of rows that run."""
    found: list[Stretch] = []
    edges = np.flatnonzero(np.diff(np.concatenate([[0], runs.astype(np.int8), [0]])))
    for first, behind in zip(edges[0::2], edges[1::2], strict=True):
        last = behind - 1
        found.append(
            Stretch(
                start=float(times[first]),
                end=float(times[last]),
                before=float(times[first - 1]) if first > 0 else float(times[first]),
                after=float(times[behind]) if behind < len(times) else float(times[last]),
                ended=bool(behind < len(times)),
            )
        )
    return found


def _bridged(runs: NDArray[np.bool_], told: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Runs with rows off that do not last made part of them; rows without a number keep what the row before them said."""
    if not np.any(told):
        return np.zeros_like(runs)
    last_told = np.maximum.accumulate(np.where(told, np.arange(len(runs)), 0))
    filled = runs[last_told]
    edges = np.flatnonzero(np.diff(filled.astype(np.int8))) + 1
    bounds = np.concatenate([[0], edges, [len(filled)]])
    result = filled.copy()
    for first, behind in itertools.pairwise(bounds[1:-1]):
        if not filled[first] and behind - first < LASTS:
            result[first:behind] = True
    return result


def moment_of(log: Log, channel: Channel, level: float, *, below: bool, after: float = 0.0) -> Quantity:
    """First moment at which a channel is past a level, and stays there for a second row.

    Parameters
    ----------
    log : Log
        The log.
    channel : Channel
        One of its channels.
    level : float
        In the channel's unit.
    below : bool
        Whether it must lie below the level, else above.
    after : float, optional
        Earlier rows do not count [s].

    Returns
    -------
    Quantity
        Time from the first row, where the straight line between the two rows passes the level; it lies anywhere between
        them [s].

    Raises
    ------
    ImpossibleValue
        The channel never gets there.
    """
    values, times = channel.values, log.times
    told = np.flatnonzero(np.isfinite(values) & (times >= after))
    past = values[told] < level if below else values[told] > level
    # One row past the level may be a spike; the last row of the log counts alone, since nothing follows it.
    stays = past & np.concatenate([past[1:], past[-1:]])
    if not np.any(stays):
        shown = format_quantity(Quantity(level, channel.unit)) if channel.unit else f"{level:g}"
        raise ImpossibleValue(
            f"{channel.name} never {'falls below' if below else 'rises above'} {shown} in {log.name}",
            remedy="look at the log, and name a level that it reaches",
        )
    place = int(np.argmax(stays))
    row = told[place]
    if place == 0:
        return Quantity(float(times[row]), "s", 0.0)
    before = told[place - 1]
    rise = values[row] - values[before]
    share = (level - values[before]) / rise if rise else 1.0
    span = float(times[row] - times[before])
    return Quantity(
        float(times[before]) + float(np.clip(share, 0.0, 1.0)) * span, "s", standard_from_limits(0.5 * span)
    )
