"""Readings taken from a log: charge, energy, means, highest and lowest values, and how long something lasted."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.instrument import Instrument
from lidoff.evidence.logs import Cut, Log, half_widths, integrate, mean_over, moment_of, running_stretches
from lidoff.evidence.reading import Measured, Reading
from lidoff.quantities import (
    Quantity,
    parse_quantity,
    resolution_uncertainty,
    standard_from_limits,
)

__all__ = ["TAKES", "LogTake", "Logged", "measure_logged", "moment_in"]

TAKES = ("charge", "energy", "duration", "mean", "highest", "lowest")
"""What can be taken from a log."""
_RUNS = re.compile(r"(?P<channel>.+?)\s+(?P<what>runs|stops)")
_PASSES = re.compile(r"(?P<channel>.+?)\s*(?P<sign>[<>])\s*(?P<level>.+)")
_ELAPSED = re.compile(r"(?P<h>\d+):(?P<min>\d{1,2}):(?P<s>\d{1,2}(?:\.\d+)?)")


@dataclass(frozen=True, slots=True, kw_only=True)
class LogTake:
    """What a reading takes from a log.

    Attributes
    ----------
    log : str
        Name of the log in the dossier.
    take : str
        One of `TAKES`.
    channels : tuple of str
        A current for charge; a power, or voltage and current, for energy; one for the rest, none for a duration.
    starts, ends : str
        Moments: a time such as ``"90 s"`` or ``"0:01:30"``, a level passed such as ``"U < 3.0 V"``, or ``"I runs"`` and
        ``"I stops"``; empty for the first and the last row.
    """

    log: str
    take: str
    channels: tuple[str, ...] = ()
    starts: str = ""
    ends: str = ""

    def __str__(self) -> str:
        parts = [self.take, f"of {' and '.join(self.channels)}" if self.channels else ""]
        parts += [f"from {self.starts}" if self.starts else "", f"until {self.ends}" if self.ends else ""]
        return " ".join((*filter(None, parts), f"in the log {self.log}"))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Logged:
    """A log with the instruments that wrote it.

    Attributes
    ----------
    log : Log
        The log.
    instrument : str
        Name of the instrument of all channels and of the clock; empty if none is named.
    instruments : mapping of str to str
        By channel: another instrument.
    """

    log: Log
    instrument: str = ""
    instruments: Mapping[str, str] = field(default_factory=dict)


def moment_in(log: Log, text: str, *, after: float = 0.0) -> Quantity | Cut:
    r"""Moment of a log that a text tells.

    Parameters
    ----------
    log : Log
        The log.
    text : str
        As for `LogTake.starts`.
    after : float, optional
        Moments of levels before that do not count [s].

    Returns
    -------
    Quantity or Cut
        From the first row [s]; a cut where something runs or stops.

    Raises
    ------
    ImpossibleValue, UnknownName
        The text is not understood, or the log never gets there.

    Examples
    --------
    >>> from lidoff.evidence.logs import read_log
    >>> log = read_log(b"t [s],U [V]\n0,4.0\n10,3.0\n20,2.0\n")
    >>> moment_in(log, "U < 2.5 V").value
    15.0
    """
    clock = _ELAPSED.fullmatch(text.strip())
    if clock is not None:
        return Quantity(3600.0 * int(clock["h"]) + 60.0 * int(clock["min"]) + float(clock["s"]), "s")
    runs = _RUNS.fullmatch(text.strip())
    if runs is not None:
        stretches = running_stretches(log, runs["channel"])
        if not stretches:
            raise ImpossibleValue(
                f"{runs['channel']} never runs in {log.name}",
                remedy="look at the log, and name another channel",
            )
        # Short spikes before and after are not what is meant: the longest stretch is.
        longest = max(stretches, key=lambda one: one.end - one.start)
        return longest.cut_off if runs["what"] == "stops" else longest.switched_on
    passes = _PASSES.fullmatch(text.strip())
    if passes is not None:
        channel = log.channel(passes["channel"])
        level = parse_quantity(passes["level"], unit=channel.unit or None).value
        return moment_of(log, channel, level, below=passes["sign"] == "<", after=after)
    return parse_quantity(text, unit="s")


def measure_logged(
    reading: Reading, take: LogTake, instruments: Mapping[str, Instrument], logs: Mapping[str, Logged]
) -> Measured:
    """Value of a reading from a log, with what makes it doubtful.

    Parameters
    ----------
    reading : Reading
        What was read.
    take : LogTake
        How it is taken.
    instruments : mapping of str to Instrument
        Known instruments by name.
    logs : mapping of str to Logged
        Known logs by name.

    Returns
    -------
    Measured
        In the unit of its target, where that has one.

    Raises
    ------
    ImpossibleValue, UnknownName
        The log, a channel or a moment is not there, or the channels do not make what is taken.

    References
    ----------
    .. [1] `lidoff.evidence.logs.integrate` tells the causes of uncertainty.
    """
    if take.take not in TAKES:
        raise UnknownName(f"nothing called {take.take!r} is taken from a log", name=take.take, known=TAKES)
    if take.log not in logs:
        raise UnknownName(f"there is no log {take.log!r}", name=take.log, known=logs)
    logged = logs[take.log]
    log = logged.log
    begins = moment_in(log, take.starts) if take.starts else Quantity(0.0, "s")
    start = begins.at if isinstance(begins, Cut) else begins
    stops = moment_in(log, take.ends, after=start.value) if take.ends else Quantity(float(log.times[-1]), "s")
    end = stops.at if isinstance(stops, Cut) else stops
    by = {
        name: one for name in take.channels if (one := _instrument(logged, reading, log, name, instruments))
    }
    ranges = {log.channel(name).name: reading.on_range for name in take.channels if reading.on_range}
    if take.take == "duration":
        return _told(reading, *_duration(log, start, end, _clock(logged, instruments)))
    wanted = {"charge": (1,), "energy": (1, 2)}.get(take.take, (1,))
    if len(take.channels) not in wanted:
        raise ImpossibleValue(
            f"{take.take} of {len(take.channels)} channels",
            remedy=f"name {' or '.join('one channel' if number == 1 else 'voltage and current' for number in wanted)}",
        )
    used = {log.channel(name).name: instrument for name, instrument in by.items()}
    shares = _shared(take, by)
    if take.take in ("charge", "energy"):
        clock = _clock(logged, instruments)
        found = integrate(
            log, take.channels, start=begins, end=stops, instruments=used, on_ranges=ranges, clock=clock
        )
        if (found.quantity.unit == "Ah") != (take.take == "charge"):
            raise ImpossibleValue(
                f"the channels {', '.join(take.channels)} make {found.quantity.unit}, which is no {take.take}",
                remedy="name a current for charge; a power, or voltage and current, for energy",
            )
        return _told(reading, found.quantity, found.parts, found.notes, shares)
    if take.take == "mean":
        found = mean_over(log, take.channels[0], start=begins, end=stops, instruments=used, on_ranges=ranges)
        return _told(reading, found.quantity, found.parts, found.notes, shares)
    return _told(reading, *_extreme(log, take, start, end, used, reading.on_range), shares)


def _instrument(
    logged: Logged, reading: Reading, log: Log, channel: str, instruments: Mapping[str, Instrument]
) -> Instrument | None:
    """Instrument of a channel, if one is named."""
    own = {log.channel(name).name: one for name, one in logged.instruments.items()}
    name = reading.instrument or own.get(log.channel(channel).name, logged.instrument)
    if not name:
        return None
    if name not in instruments:
        raise UnknownName(f"there is no instrument {name!r}", name=name, known=instruments)
    return instruments[name]


def _clock(logged: Logged, instruments: Mapping[str, Instrument]) -> Instrument | None:
    """Instrument whose clock wrote the times, if its accuracy is known."""
    found = instruments.get(logged.instrument)
    timed = found is not None and any(span.measures == "time" for span in found.ranges)
    return found if timed else None


def _duration(
    log: Log, start: Quantity, end: Quantity, clock: Instrument | None
) -> tuple[Quantity, dict[str, float], tuple[str, ...]]:
    """Time between two moments."""
    span = end.value - start.value
    if not span > 0.0:
        raise ImpossibleValue("the end lies before the start", remedy="look at the two moments")
    accuracy = 0.0
    if clock is not None:
        used = clock.range_for("time", span)
        accuracy = used.limits.standard_uncertainty(span, used.step or 0.0, full_scale=used.full_scale)
    parts = {
        "accuracy": accuracy,
        "resolution": math.sqrt(2.0) * resolution_uncertainty(log.time_step),
        "ends": math.hypot(start.uncertainty, end.uncertainty),
    }
    notes = () if clock is not None else ("The clock of the log is taken as right.",)
    return Quantity(span, "s", math.hypot(*parts.values())), parts, notes


def _extreme(
    log: Log,
    take: LogTake,
    start: Quantity,
    end: Quantity,
    instruments: Mapping[str, Instrument],
    on_range: str,
) -> tuple[Quantity, dict[str, float], tuple[str, ...]]:
    """Highest or lowest value of a channel."""
    channel = log.channel(take.channels[0])
    inside = (log.times >= start.value) & (log.times <= end.value) & np.isfinite(channel.values)
    if not np.any(inside) or not channel.unit:
        raise ImpossibleValue(
            f"{channel.name} has no value with a unit there", remedy="name a longer stretch, or tell the unit"
        )
    values = channel.values[inside]
    value = float(values.max() if take.take == "highest" else values.min())
    parts = {"accuracy": 0.0, "resolution": resolution_uncertainty(channel.step)}
    notes = ["Between the rows it may have gone further."]
    if channel.name in instruments:
        width = half_widths(instruments[channel.name], channel, np.array([value]), on_range=on_range)
        parts["accuracy"] = standard_from_limits(float(width[0]))
    else:
        notes.append(f"No accuracy is known for {channel.name}; only its digits count.")
    return Quantity(value, channel.unit, math.hypot(*parts.values())), parts, tuple(notes)


def _shared(take: LogTake, by: Mapping[str, Instrument]) -> str:
    """What the accuracy of a reading belongs to: two readings of the same channels of a log share its error."""
    if not take.channels or len(by) < len(take.channels):
        return ""
    names = " and ".join(dict.fromkeys(one.name for one in by.values()))
    return f"{names}: {' × '.join(take.channels)} of {take.log}"


def _told(
    reading: Reading,
    quantity: Quantity,
    parts: Mapping[str, float],
    notes: tuple[str, ...],
    accuracy_of: str = "",
) -> Measured:
    """Measured value in the unit of the reading's target."""
    unit = reading.target.unit or quantity.unit
    factor = Quantity(1.0, quantity.unit).value_in(unit) if unit != "°C" else 1.0
    rest = [size for cause, size in parts.items() if cause not in ("accuracy", "resolution")]
    return Measured(
        reading=reading,
        quantity=Quantity(quantity.value * factor, unit, quantity.uncertainty * factor),
        accuracy=parts.get("accuracy", 0.0) * factor,
        resolution=parts.get("resolution", 0.0) * factor,
        sampling=math.hypot(*rest) * factor,
        accuracy_of=accuracy_of,
        notes=notes,
    )
