"""Readings as the reasoning over many variants sees them, on the powered circuit and on the dead one."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit import CONTINUITY, DIODE_RANGE, OHM_RANGE, Circuit, MeterRange, Situation, kind_of
from lidoff.errors import UnknownName
from lidoff.evidence import (
    AcrossPart,
    InPart,
    Instrument,
    IntoPin,
    Measured,
    NamedQuantity,
    NetVoltage,
    WithoutPower,
)

__all__ = ["MOST_DECADES", "RANGES", "DeadTest", "PoweredTarget", "Watched", "unplugged", "watched_of"]

PoweredTarget = NetVoltage | AcrossPart | IntoPin | InPart
RANGES: Mapping[str, MeterRange] = {one.name: one for one in (OHM_RANGE, DIODE_RANGE, CONTINUITY)}
"""Ranges of a handheld meter for a circuit without power, by name."""

MOST_DECADES = 4
"""Ohm ranges above the least: up to 60 MΩ; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeadTest:
    """A meter between two nets of the circuit without power.

    Attributes
    ----------
    red, black : str
        What the probes touch: a net, or one pad named by its pin, such as ``R1.2``.
    range_name : str
        One of `RANGES`: ``resistance``, ``diode`` or ``continuity``.
    decades : int
        Of a resistance, how many times the range was set to ten times as much, at a tenth of the current.
    """

    red: str
    black: str
    range_name: str = "resistance"
    decades: int = 0

    @property
    def unit(self) -> str:
        """Unit of what the meter shows; a beep is 1 or 0."""
        return {"resistance": "Ω", "diode": "V", "continuity": "1"}[self.range_name]

    @property
    def meter(self) -> MeterRange:
        """The range."""
        plain, times = RANGES[self.range_name], 10.0**self.decades
        return replace(plain, test_current=plain.test_current / times, highest=plain.highest * times)

    def showing(self, value: float) -> DeadTest:
        """The same test, a resistance on the smallest range that shows a value."""
        if self.range_name != "resistance":
            return self
        full = OHM_RANGE.highest
        decades = next((k for k in range(MOST_DECADES) if value <= full * 10.0**k), MOST_DECADES)
        return replace(self, decades=decades)

    def __str__(self) -> str:
        return f"{self.range_name} from {self.red} to {self.black}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One reading with all that its likelihood needs.

    Attributes
    ----------
    name : str
        Of the reading.
    target : PoweredTarget or DeadTest
        What was read.
    situation : str
        Where; for a dead test the one whose switch positions hold, empty for none.
    value : float
        What was read, in SI units; for a beep 1 or 0, infinite for a display that shows "over range".
    deviation : float
        Standard uncertainty by instrument and scatter; not used for beeps.
    load : float or None
        Input resistance of the voltmeter or burden of the ammeter [Ω]; None where it is not known.
    written : bool
        Whether a person wrote the value down, who may have slipped; false for what a log took.
    bend : float
        Standard uncertainty of its prediction where this bends away from its slopes.
    """

    name: str
    target: PoweredTarget | DeadTest
    situation: str
    value: float
    deviation: float
    load: float | None = None
    written: bool = True
    bend: float = 0.0


def watched_of(
    circuit: Circuit, measured: Sequence[Measured], instruments: Mapping[str, Instrument], single: str = ""
) -> tuple[Watched, ...]:
    """Readings of a dossier that are about its circuit.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    measured : sequence of Measured
        Readings with their uncertainty, nets by their standing names.
    instruments : mapping of str to Instrument
        By name.
    single : str, optional
        Situation of readings that name none.

    Returns
    -------
    tuple of Watched
        Those whose net, part or pin is in the circuit, and that can be relied on.
    """
    found = []
    for one in measured:
        if one.doubts:
            continue  # not to be relied on
        target = one.reading.target
        if isinstance(target, WithoutPower):
            test = _dead_test(circuit, target, one.quantity.value)
            if {test.red, test.black} <= set(circuit.nets):
                found.append(
                    Watched(
                        name=one.name,
                        target=test,
                        situation=one.reading.situation,
                        value=math.inf if one.over_range else one.quantity.value,
                        deviation=one.quantity.normal_uncertainty,
                    )
                )
            continue
        if isinstance(target, NamedQuantity) or not _is_in(circuit, target):
            continue
        found.append(
            Watched(
                name=one.name,
                target=target,
                situation=one.reading.situation or single,
                value=one.quantity.value,
                deviation=one.quantity.normal_uncertainty,
                load=_load(one, instruments),
            )
        )
    return tuple(found)


def _dead_test(circuit: Circuit, target: WithoutPower, value: float) -> DeadTest:
    """Test of a reading without power, on the smallest range that holds what was shown."""
    test = DeadTest(red=target.red, black=target.black or circuit.ground, range_name=target.range_name)
    return test.showing(value)


def unplugged(circuit: Circuit, situation: Situation | None = None) -> Situation:
    """Situation for dead tests: every supply that can be taken off is, switches as in the given situation.

    Parameters
    ----------
    circuit : Circuit
        Whole.
    situation : Situation, optional
        Whose switch positions hold.

    Returns
    -------
    Situation
        Named ``unplugged``.
    """
    settings = {name: dict(values) for name, values in (situation.settings if situation else {}).items()}
    for part in circuit.parts:
        kind = kind_of(part)
        if kind.supplies and "connected" in kind.parameters_of(part):
            settings.setdefault(part.reference, {})["connected"] = 0.0  # its word differs by kind
    return Situation(name="unplugged", settings=settings)


def _is_in(circuit: Circuit, target: PoweredTarget) -> bool:
    try:
        if isinstance(target, NetVoltage):
            return target.net in circuit.nets and (not target.against or target.against in circuit.nets)
        part = circuit.part(target.reference)
    except UnknownName:
        return False
    if isinstance(target, IntoPin):
        return target.pin in part.pins
    path = kind_of(part).path
    needs_path = isinstance(target, AcrossPart) or target.what == "current"
    return not needs_path or (len(path) == 2 and all(pin in part.pins for pin in path))


def _load(one: Measured, instruments: Mapping[str, Instrument]) -> float | None:
    target = one.reading.target
    if isinstance(target, NetVoltage | AcrossPart):
        instrument = instruments.get(one.reading.instrument)
        return instrument.input_ohms if instrument is not None else None
    measures_current = isinstance(target, IntoPin) or (
        isinstance(target, InPart) and target.what == "current"
    )
    return one.span.burden_ohms if measures_current and one.span is not None else None
