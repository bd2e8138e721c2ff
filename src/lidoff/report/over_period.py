"""What a situation that alternates is told by: one period of it, as its operating point is that of one instant."""

from __future__ import annotations

from dataclasses import dataclass

from lidoff.circuit import Waveforms, figures
from lidoff.dossier import Analysis, SolvedSituation, shows_an_instant, unfixed_over
from lidoff.hazards import Repeating
from lidoff.report.limits import FAINT, LITTLE_POWER, NEXT_TO_NOTHING
from lidoff.schematic import current_lines, engineering, voltage_text

__all__ = [
    "Moved",
    "alternates",
    "delivered_over",
    "moved_over",
    "nets_over",
    "period_of",
    "repeating_of",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved:
    """What one part sees over a period, in words.

    Attributes
    ----------
    voltage, current, power : str
        Along its main path, and what it takes up on average; a dash where it has no path or nothing fixes its nets.
    watts : float
        The same power [W].
    """

    voltage: str
    current: str
    power: str
    watts: float


def repeating_of(analysis: Analysis, name: str) -> Repeating | None:
    """Waveforms that hold for a situation, or why there are none; None where nothing changes with time."""
    return next((one for one in analysis.repeating if name in (one.situation.name, *one.stands_for)), None)


def alternates(analysis: Analysis, result: SolvedSituation) -> bool:
    """Whether the operating point of a situation is that of one instant, so that no number of it may be printed."""
    return shows_an_instant(analysis.circuit, result.situation)


def period_of(analysis: Analysis, result: SolvedSituation) -> Waveforms | None:
    """One period of a situation itself, not of another with the same supplies; None where it was not followed."""
    return next((one.waveforms for one in analysis.repeating if one.situation.name == result.name), None)


def delivered_over(period: Waveforms, name: str) -> str:
    """What a supply delivers over a period, as the rest of a sentence; empty where that is next to nothing."""
    watts = -figures(period.times, period.power(name)).average
    amperes = ""
    size = 0.0
    if period.has_path(name):
        told = figures(period.times, -period.current(name))
        faint = FAINT * figures(period.times, period.part_voltage(name)).rms
        size = told.rms if told.rms > faint else 0.0
        steady = -told.average if watts < 0.0 else told.average
        amperes = f"{' '.join(current_lines(steady, told.alternating))} and "
    if size < NEXT_TO_NOTHING and abs(watts) < LITTLE_POWER:
        return ""
    verb = "takes up" if watts < 0.0 else "delivers"
    return f"{verb} {amperes}{engineering(abs(watts), 'W')} on average"


def moved_over(period: Waveforms) -> dict[str, Moved]:
    """Parts that carry a current or take a power over a period, by reference."""
    loose, references = unfixed_over(period), period.system.references
    found: dict[str, Moved] = {}
    for part in period.circuit.parts:
        name = part.reference
        watts = figures(period.times, period.power(name)).average
        voltage = current = "–"
        size = 0.0
        if period.has_path(name):
            told = figures(period.times, period.current(name))
            size, current = told.rms, " ".join(current_lines(told.average, told.alternating))
            nets = set(part.pins.values())
            if not nets & loose and len({references[net] for net in nets}) == 1:
                across = figures(period.times, period.part_voltage(name))
                voltage = voltage_text(across.average, across.alternating)
        if size >= NEXT_TO_NOTHING or abs(watts) >= LITTLE_POWER:
            found[name] = Moved(voltage=voltage, current=current, power=engineering(watts, "W"), watts=watts)
    return found


def nets_over(period: Waveforms, trace: float) -> dict[str, str]:
    """Voltages of all nets over a period, in words; zero up to a share `trace` of the largest."""
    loose = unfixed_over(period)
    volts = {net: period.voltage(net) for net in period.circuit.nets}
    least = trace * max((float(abs(one).max()) for one in volts.values()), default=0.0)
    found: dict[str, str] = {}
    for net, one in volts.items():
        told = figures(period.times, one)
        steady, moving = (size if abs(size) > least else 0.0 for size in (told.average, told.alternating))
        found[net] = "nothing fixes it" if net in loose else voltage_text(steady, moving)
    return found
