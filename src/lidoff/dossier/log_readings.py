"""Readings of a dossier, those from logs among them: verified, measured, and what is to be said of the logs."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from functools import partial
from typing import Protocol

from lidoff.dossier.logs import LOGS_FOLDER, LogEntry, log_of, logged_of
from lidoff.errors import LidoffError, UnknownName
from lidoff.evidence import (
    MEASURES,
    Finding,
    Instrument,
    Log,
    Logged,
    LogSummary,
    Measured,
    Reading,
    measure,
    summary_of,
)

__all__ = ["log_findings", "log_summaries", "measured_readings", "readings_offered", "verify_logs"]

GRAVE = ("gap", "overload", "time runs back", "time unread")
"""Remarks on a log that a report may not leave out."""


class Collector(Protocol):
    """Takes faults by key."""

    def add(self, path: tuple[str | int, ...], what: str, remedy: str = "") -> None:
        """Note a fault."""

    def attempt(self, path: tuple[str | int, ...], function: Callable[[], object]) -> object | None:
        """Result of a function, or None after noting its error."""


def verify_logs(
    entries: Sequence[LogEntry],
    readings: Sequence[Reading],
    instruments: Mapping[str, Instrument],
    faults: Collector,
    *,
    looked_for: bool,
    broken: Collection[tuple[str | int, ...]] = (),
) -> None:
    """Note every fault of logs, and of readings that are taken from them.

    Parameters
    ----------
    entries : sequence of LogEntry
        The logs.
    readings : sequence of Reading
        All readings.
    instruments : mapping of str to Instrument
        By name.
    faults : Collector
        Takes the faults.
    looked_for : bool
        Whether the files were looked for, so that a missing one is a fault.
    broken : collection of paths, optional
        Entries left out because they are not of their form.
    """
    logs: dict[str, Logged] = {}
    for entry in entries:
        path = ("logs", entry.name)
        if not entry.file.startswith(f"{LOGS_FOLDER}/") or "/" in entry.file[len(LOGS_FOLDER) + 1 :]:
            faults.add(
                (*path, "file"),
                f"the log {entry.file!r} does not lie in logs/",
                "copy it there, such as logs/run.csv",
            )
            continue
        for key, name in (
            ("instrument", entry.instrument),
            *(("instruments", one) for one in entry.instruments.values()),
        ):
            if name and name not in instruments and ("instruments", name) not in broken:
                error = UnknownName(f"there is no instrument {name!r}", name=name, known=instruments)
                faults.add((*path, key), error.what, error.remedy or "add it under [instruments]")
        if not looked_for:
            continue
        log = faults.attempt((*path, "file"), partial(log_of, entry))
        if isinstance(log, Log):
            logs[entry.name] = Logged(log=log, instrument=entry.instrument, instruments=entry.instruments)
            for channel in entry.instruments:
                faults.attempt((*path, "instruments", channel), partial(log.channel, channel))
    known = {entry.name for entry in entries}
    for reading in readings:
        if reading.taken is None:
            continue
        at = ("readings", reading.name, "from_log")
        if reading.taken.log not in known:
            if ("logs", reading.taken.log) not in broken and ("logs",) not in broken:
                error = UnknownName(
                    f"there is no log {reading.taken.log!r}", name=reading.taken.log, known=known
                )
                faults.add(at, error.what, error.remedy or "add it under [logs]")
        elif reading.taken.log in logs and not reading.instrument:
            faults.attempt(at, partial(measure, reading, instruments, logs))


def measured_readings(
    readings: Sequence[Reading], instruments: Mapping[str, Instrument], logs: Mapping[str, Logged]
) -> tuple[tuple[Measured, ...], tuple[Finding, ...]]:
    """Every reading with its uncertainty, and a finding for each that could not be taken from its log.

    Parameters
    ----------
    readings : sequence of Reading
        In the order of the dossier.
    instruments : mapping of str to Instrument
        By name.
    logs : mapping of str to Logged
        By name.

    Returns
    -------
    measured : tuple of Measured
        In that order.
    findings : tuple of Finding
        For readings that are left out.

    Raises
    ------
    ImpossibleValue, UnknownName
        A reading of a display cannot be read.
    """
    measured: list[Measured] = []
    findings: list[Finding] = []
    for reading in readings:
        if reading.taken is None:
            measured.append(measure(reading, instruments))
            continue
        try:
            measured.append(measure(reading, instruments, logs))
        except LidoffError as error:
            findings.append(
                Finding(
                    name="reading not taken",
                    title=f"Not taken from its log: {reading.name}",
                    severity="caution",
                    what=f"The reading {reading.name} could not be taken: {error.what}.",
                    readings=(reading.name,),
                    remedy=error.remedy,
                )
            )
    return tuple(measured), tuple(findings)


def log_findings(logs: Mapping[str, Logged]) -> tuple[Finding, ...]:
    """What a reader must know of the logs: gaps, overloads, times that could not be used.

    Parameters
    ----------
    logs : mapping of str to Logged
        By name.

    Returns
    -------
    tuple of Finding
        One a log at most.
    """
    found = []
    for name, logged in logs.items():
        grave = [str(remark) for remark in logged.log.remarks if remark.about in GRAVE]
        if grave:
            found.append(
                Finding(
                    name="log with faults",
                    title=f"Look at the log {name}",
                    severity="note",
                    what=". ".join(text[:1].upper() + text[1:] for text in grave) + ".",
                    evidence=f"file {logged.log.name}",
                )
            )
    return tuple(found)


def log_summaries(entries: Sequence[LogEntry], instruments: Sequence[Instrument]) -> Mapping[str, LogSummary]:
    """Every log that can be read, at a glance, with the accuracy of what wrote it.

    Parameters
    ----------
    entries : sequence of LogEntry
        Of a dossier.
    instruments : sequence of Instrument
        Of the dossier.

    Returns
    -------
    mapping of str to LogSummary
        By name of the log.
    """
    known = {one.name: one for one in instruments}
    found = {}
    for name, logged in logged_of(entries).items():
        own = {logged.log.channel(channel).name: one for channel, one in logged.instruments.items()}
        used = {}
        for channel in logged.log.channels:
            instrument = known.get(own.get(channel.name, logged.instrument))
            if instrument is not None and any(
                MEASURES[one.measures] == channel.unit for one in instrument.ranges
            ):
                used[channel.name] = instrument
        clock = known.get(logged.instrument)
        timed = clock is not None and any(one.measures == "time" for one in clock.ranges)
        found[name] = summary_of(logged.log, instruments=used, clock=clock if timed else None)
    return found


def readings_offered(name: str, summary: LogSummary) -> Mapping[str, Mapping[str, object]]:
    """Rows of readings that take a log's charge, energy and first run.

    Parameters
    ----------
    name : str
        Of the log in the dossier.
    summary : LogSummary
        The log at a glance.

    Returns
    -------
    mapping of str to mapping
        By a name for the reading, each as ``dossier.toml`` holds it.
    """
    found: dict[str, Mapping[str, object]] = {}
    ended = any(one.stretch.ended for one in summary.runs)
    for one in summary.sums:
        take = "charge" if one.integral.quantity.unit == "Ah" else "energy"
        ends = {"ends": f"{summary.ran_by} stops"} if ended else {}
        found[f"{name}_{take}"] = {
            "quantity": take,
            "from_log": {"log": name, "take": take, "channels": list(one.channels), **ends},
        }
    if ended:
        found[f"{name}_time"] = {
            "quantity": "run time",
            "from_log": {
                "log": name,
                "take": "duration",
                "starts": f"{summary.ran_by} runs",
                "ends": f"{summary.ran_by} stops",
            },
        }
    return found
