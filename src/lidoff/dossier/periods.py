"""One period of the circuit as traced, in place of an operating point where a supply or a pin changes with time."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import (
    Circuit,
    PeriodicSpread,
    Situation,
    Tolerance,
    Waveforms,
    figures,
    in_force,
    kind_of,
    periodic_spread,
    replaced_at_rest,
)
from lidoff.circuit.kind import Array
from lidoff.errors import ImpossibleValue, LidoffError, UnknownName
from lidoff.evidence import (
    AcrossPart,
    InPart,
    IntoPin,
    NamedQuantity,
    NetVoltage,
    Target,
    WithoutPower,
    is_steady,
)
from lidoff.hazards import changing_parts, half_full

__all__ = [
    "Periods",
    "changes_with_time",
    "is_averaged",
    "keeps_an_average",
    "periods_of",
    "rest_is_silent",
    "shows_an_instant",
    "title_of",
    "values_of",
]

FINE = Tolerance(relative=1e-3)
LEAST_SHARE = 1e-3
"""Share of the largest voltage below which a net counts as lying at the ground."""
POINTS = 100
"""At least so many steps a period: figures come out to a few ten-thousandths."""

Periods = Callable[[Situation], PeriodicSpread]
"""One period of a situation with its spread; raises a `LidoffError` where there is none."""


def keeps_an_average(waveforms: Waveforms) -> bool:
    """Whether some voltage of a period hardly changes, as behind a rectifier with its capacitor.

    Parameters
    ----------
    waveforms : Waveforms
        One period.

    Returns
    -------
    bool
        The ground, and what lies at it, does not count.
    """
    circuit = waveforms.circuit
    told = [figures(waveforms.times, waveforms.voltage(net)) for net in circuit.nets]
    most = max((one.rms for one in told), default=0.0)
    return any(is_steady(one.average, one.rms) for one in told if one.rms > LEAST_SHARE * most)


def rest_is_silent(circuit: Circuit, situation: Situation, target: Target) -> bool:
    """Whether an operating point says nothing of a target, since a supply or a controller's pin changes with time.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    target : Target

    Returns
    -------
    bool
        False where stand-ins take the place of all that changes, unless the target itself is replaced by them.
    """
    if isinstance(target, NamedQuantity | WithoutPower):
        return False
    if not changes_with_time(circuit, situation):
        return False
    return shows_an_instant(circuit, situation) or _is_replaced(circuit, situation, target)


def shows_an_instant(circuit: Circuit, situation: Situation) -> bool:
    """Whether an operating point is that of one instant: something changes, and no stand-in tells what it gives on average.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation

    Returns
    -------
    bool
        No sentence may rest on such an operating point: at that instant the mains stand at nought, and a pulsed pin is low.
    """
    return changes_with_time(circuit, situation) and not is_averaged(circuit, situation)


def is_averaged(circuit: Circuit, situation: Situation) -> bool:
    """Whether an operating point tells what the circuit does on average: stand-ins stand for all that alternates in it."""
    stood_for = {name for names in in_force(circuit, situation).values() for name in names}
    return _changing(circuit, situation) <= stood_for


def changes_with_time(circuit: Circuit, situation: Situation) -> bool:
    """Whether a supply that changes with time is connected, or a controller's pin follows a pattern."""
    return bool(_changing(circuit, situation))


def _changing(circuit: Circuit, situation: Situation) -> frozenset[str]:
    """Parts by which the circuit changes with time."""
    return frozenset(part.reference for part in changing_parts(circuit, situation))


def periods_of(circuit: Circuit) -> Periods:
    """One period of each situation, solved when it is first asked for.

    Parameters
    ----------
    circuit : Circuit
        As traced.

    Returns
    -------
    callable (Situation) → PeriodicSpread
        Raises a `LidoffError` with the reason, the same each time, where no period is found.
    """
    known: dict[str, PeriodicSpread | ImpossibleValue] = {}

    def period_of(situation: Situation) -> PeriodicSpread:
        if situation.name not in known:
            known[situation.name] = _period(circuit, situation)
        found = known[situation.name]
        if isinstance(found, ImpossibleValue):
            raise found
        return found

    return period_of


def title_of(situation: Situation) -> str:
    """Situation as it is named in a sentence."""
    return f"“{situation.title}”" if situation.title else situation.name


def values_of(circuit: Circuit, target: Target) -> Callable[[Waveforms], Array]:
    """Function that takes the target's values out of waveforms; what a supply delivers counts as delivered.

    Parameters
    ----------
    circuit : Circuit
    target : Target

    Returns
    -------
    callable (Waveforms) → ndarray of shape (T,)

    Raises
    ------
    UnknownName
        The target is not in the circuit.
    """
    if isinstance(target, NetVoltage):
        ground = circuit.ground
        return lambda wave: _between(wave, target.net, target.against or ground)
    if isinstance(target, AcrossPart):
        return lambda wave: wave.part_voltage(target.reference)
    if isinstance(target, IntoPin):
        return lambda wave: wave.pin_current(target.reference, target.pin)
    if isinstance(target, InPart):
        sign = -1.0 if kind_of(circuit.part(target.reference)).supplies else 1.0
        if target.what == "current":
            return lambda wave: sign * wave.current(target.reference)
        return lambda wave: sign * wave.power(target.reference)
    raise UnknownName(f"the circuit does not tell the {target}")


def _is_replaced(circuit: Circuit, situation: Situation, target: Target) -> bool:
    """Whether a reading is of what a stand-in takes the place of at rest."""
    replaced = replaced_at_rest(circuit, situation)
    if isinstance(target, NetVoltage):
        return bool({target.net, target.against} & replaced.nets)
    return isinstance(target, AcrossPart | InPart | IntoPin) and target.reference in replaced.parts


def _period(circuit: Circuit, situation: Situation) -> PeriodicSpread | ImpossibleValue:
    """One period with its spread, or why there is none."""
    why = ""
    for start in (None, half_full(circuit)):
        try:
            return periodic_spread(circuit, situation, start=start, tolerance=FINE, points=POINTS)
        except LidoffError as error:
            why = why or error.what
    return ImpossibleValue(f"no waveform was found for {title_of(situation)}: {why}")


def _between(wave: Waveforms, net: str, against: str) -> Array:
    references = wave.system.references
    one = wave.voltage(net)
    if against not in references:
        return one
    if references[net] != references[against]:
        raise UnknownName(f"{net!r} and {against!r} are in islands that nothing joins")
    return one - wave.voltage(against)
