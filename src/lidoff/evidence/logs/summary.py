"""What a log holds at a glance: each channel's values, charge and energy, and the stretches in which the device ran."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass

import numpy as np

from lidoff.errors import LidoffError
from lidoff.evidence.instrument import Instrument
from lidoff.evidence.logs.cutoff import Stretch, running_stretches
from lidoff.evidence.logs.integral import Integral, integrate, mean_over
from lidoff.evidence.logs.log import Channel, Log
from lidoff.quantities import Quantity

__all__ = ["ChannelSummary", "LogSummary", "Run", "Summed", "summary_of"]

MOST_RUNS = 12
"""Stretches that are told; a device that switches on and off all the time is better looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChannelSummary:
    """One channel in a few numbers.

    Attributes
    ----------
    channel : Channel
        The channel.
    rows : int
        Rows with a number.
    lowest, highest : Quantity or None
        As written; None where the unit is not known.
    mean : Quantity or None
        Over time, with its uncertainty; None where the unit is not known.
    notes : tuple of str
        What the mean takes for granted.
    """

    channel: Channel
    rows: int
    lowest: Quantity | None
    mean: Quantity | None
    highest: Quantity | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Summed:
    """Charge or energy of some channels.

    Attributes
    ----------
    channels : tuple of str
        One, or voltage and current.
    integral : Integral
        The sum.
    """

    channels: tuple[str, ...]
    integral: Integral


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """One stretch in which the device ran.

    Attributes
    ----------
    stretch : Stretch
        When.
    sums : tuple of Summed
        Charge and energy in it.
    last : tuple of (str, Quantity)
        What the other channels showed in its last row, by name.
    """

    stretch: Stretch
    sums: tuple[Summed, ...]
    last: tuple[tuple[str, Quantity], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LogSummary:
    """A log at a glance.

    Attributes
    ----------
    log : Log
        The log.
    channels : tuple of ChannelSummary
        In the order of the file.
    sums : tuple of Summed
        Over the whole log.
    ran_by : str
        Channel that tells when the device ran: the first current, else the first power; empty where there is neither.
    runs : tuple of Run
        At most twelve; none where the device ran all the time.
    more_runs : int
        Runs beyond those.
    notes : tuple of str
        What the sums take for granted.
    """

    log: Log
    channels: tuple[ChannelSummary, ...]
    sums: tuple[Summed, ...]
    ran_by: str = ""
    runs: tuple[Run, ...] = ()
    more_runs: int = 0
    notes: tuple[str, ...] = ()


def summary_of(
    log: Log, *, instruments: Mapping[str, Instrument] | None = None, clock: Instrument | None = None
) -> LogSummary:
    r"""Summary of a log.

    Parameters
    ----------
    log : Log
        The log.
    instruments : mapping of str to Instrument, optional
        By channel, as for `integrate`.
    clock : Instrument, optional
        As for `integrate`.

    Returns
    -------
    LogSummary
        Charge for each current; energy for each power, or for the first voltage with each current where no power was
        logged.

    Examples
    --------
    >>> from lidoff.evidence.logs.reading import read_log
    >>> log = read_log(b"t [s],I [A]\n0,1.0\n1800,1.0\n3600,1.0\n")
    >>> summary_of(log).sums[0].integral.quantity.value
    1.0
    """
    known = instruments or {}
    together = _to_sum(log)
    sums = tuple(
        Summed(channels=names, integral=integrate(log, names, instruments=known, clock=clock))
        for names in together
    )
    ran_by = next((names[0] for names in together if len(names) == 1), "")
    stretches = running_stretches(log, ran_by) if ran_by else ()
    whole = len(stretches) == 1 and stretches[0].duration.value >= log.duration
    told = () if whole else stretches[:MOST_RUNS]
    channels = tuple(_of_channel(log, channel, known) for channel in log.channels)
    return LogSummary(
        log=log,
        channels=channels,
        sums=sums,
        ran_by=ran_by,
        runs=tuple(_run(log, stretch, together, ran_by, known, clock) for stretch in told),
        more_runs=0 if whole else len(stretches) - len(told),
        notes=tuple(
            dict.fromkeys(
                note
                for notes in (*(one.integral.notes for one in sums), *(one.notes for one in channels))
                for note in notes
            )
        ),
    )


def _to_sum(log: Log) -> tuple[tuple[str, ...], ...]:
    """Channels that make a charge or an energy, currents first."""
    by_unit = {unit: [one.name for one in log.channels if one.unit == unit] for unit in ("A", "W", "V")}
    charges = [(name,) for name in by_unit["A"]]
    if by_unit["W"]:
        return (*charges, *((name,) for name in by_unit["W"]))
    pairs = [(by_unit["V"][0], name) for name in by_unit["A"]] if by_unit["V"] else []
    return (*charges, *pairs)


def _of_channel(log: Log, channel: Channel, instruments: Mapping[str, Instrument]) -> ChannelSummary:
    told = channel.values[np.isfinite(channel.values)]
    if not channel.unit or not told.size:
        return ChannelSummary(channel=channel, rows=int(told.size), lowest=None, mean=None, highest=None)
    used = {channel.name: instruments[channel.name]} if channel.name in instruments else {}
    mean: Quantity | None = None
    notes: tuple[str, ...] = ()
    # A single row has no mean over time, and an instrument may not measure what it is named for.
    with suppress(LidoffError):
        over = mean_over(log, channel.name, instruments=used)
        mean, notes = over.quantity, over.notes
    return ChannelSummary(
        channel=channel,
        rows=int(told.size),
        lowest=Quantity(float(told.min()), channel.unit),
        mean=mean,
        highest=Quantity(float(told.max()), channel.unit),
        notes=notes,
    )


def _run(
    log: Log,
    stretch: Stretch,
    together: Sequence[tuple[str, ...]],
    ran_by: str,
    instruments: Mapping[str, Instrument],
    clock: Instrument | None,
) -> Run:
    """One stretch with its sums, as far as it has rows enough for them."""
    begins, ends = stretch.switched_on, stretch.cut_off
    inside = (log.times >= stretch.start) & (log.times <= stretch.end)
    sums = []
    for names in together if ends.at.value > begins.at.value else ():
        if np.any(inside & np.all([np.isfinite(log.channel(name).values) for name in names], axis=0)):
            integral = integrate(log, names, start=begins, end=ends, instruments=instruments, clock=clock)
            sums.append(Summed(channels=names, integral=integral))
    row = int(np.searchsorted(log.times, stretch.end))
    last = tuple(
        (channel.name, Quantity(float(channel.values[row]), channel.unit))
        for channel in log.channels
        if channel.name != ran_by and channel.unit and np.isfinite(channel.values[row])
    )
    return Run(stretch=stretch, sums=tuple(sums), last=last)
