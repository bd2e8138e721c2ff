"""What a voltmeter's own resistance does to the circuit that it touches."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, Part, Situation, Spread, kind_of, operating_point
from lidoff.dossier.asking import asked_of
from lidoff.errors import LidoffError
from lidoff.evidence import AcrossPart, Instrument, Measured, NetVoltage

__all__ = ["loading_shifts"]

ABSENT = 1e15  # [Ω] a meter that is not there; far below what ties a net to anything


def loading_shifts(
    circuit: Circuit,
    situations: Mapping[str, Situation],
    measured: Sequence[Measured],
    instruments: Mapping[str, Instrument],
) -> Mapping[str, float]:
    """Change of each predicted voltage by the meter that reads it.

    Parameters
    ----------
    circuit : Circuit
        Without meters.
    situations : mapping of str to Situation
        Those that settled.
    measured : sequence of Measured
        Readings; those of voltages by an instrument with known input resistance count.
    instruments : mapping of str to Instrument
        By name.

    Returns
    -------
    mapping of str to float
        By reading: with the meter minus without it [V]. Readings that do not settle with their meter are left out.
    """
    meters: dict[str, tuple[Measured, Part, float]] = {}
    for one in measured:
        instrument = instruments.get(one.reading.instrument)
        resistance = instrument.input_ohms if instrument is not None else None
        ends = _ends(circuit, one)
        if resistance is None or ends is None or one.reading.situation not in situations:
            continue
        meter = Part(
            reference=f"meter of {one.name}",
            kind="resistor",
            pins={"1": ends[0], "2": ends[1]},
            values={"resistance": ABSENT},
            spreads={"resistance": Spread(half_width=0.0)},
        )
        meters[one.name] = (one, meter, resistance)
    if not meters:
        return {}
    extended = replace(circuit, parts=(*circuit.parts, *(meter for _, meter, _ in meters.values())))
    samples: list[Situation] = []
    for name, (one, meter, resistance) in meters.items():
        before = situations[one.reading.situation]
        samples.append(replace(before, name=f"{name} without its meter"))
        samples.append(
            replace(
                before,
                name=f"{name} with its meter",
                settings={**before.settings, meter.reference: {"resistance": resistance}},
            )
        )
    try:
        solution = operating_point(extended, situations=samples)
    except LidoffError:
        return {}
    shifts: dict[str, float] = {}
    for number, (name, (one, _, _)) in enumerate(meters.items()):
        without, loaded = 2 * number, 2 * number + 1
        if solution.settled[without] and solution.settled[loaded]:
            values = asked_of(one.reading.target)(solution)
            shifts[name] = float(values[loaded] - values[without])
    return shifts


def _ends(circuit: Circuit, one: Measured) -> tuple[str, str] | None:
    """The two nets that a voltmeter touches."""
    target = one.reading.target
    if isinstance(target, NetVoltage):
        against = target.against or circuit.ground
        nets = circuit.nets
        return (
            (target.net, against)
            if target.net in nets and against in nets and target.net != against
            else None
        )
    if isinstance(target, AcrossPart):
        part = circuit.part(target.reference)
        path = kind_of(part).path
        if len(path) == 2 and all(pin in part.pins for pin in path):
            return part.pins[path[0]], part.pins[path[1]]
    return None
