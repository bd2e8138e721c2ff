"""Readings that an analyst could take: what, where, at what effort, and what could hurt.

Efforts are our choice, no source; they stand for the minutes that a practised hand needs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from lidoff.circuit import Circuit, Situation, kind_of, situation_table
from lidoff.circuit.path import has_path, path_of
from lidoff.evidence import AcrossPart, InPart, Instrument, NetVoltage, Range
from lidoff.insight.believed import Believed
from lidoff.insight.watched import RANGES, DeadTest, Watched

__all__ = ["HANDHELD", "LIVE", "Candidate", "Effort", "candidates_of", "is_driven", "is_mains"]

LIVE = 60.0
"""Steady voltage above which touching counts as dangerous [V]: ES1 of IEC 62368-1:2018, Table 4, from memory."""
LIVE_AC = 30.0
"""The same for alternating voltage, root mean square [V]: ES1 of IEC 62368-1:2018, Table 4, from memory."""
HANDHELD = Instrument(
    name="a usual hand-held multimeter",
    title="6000 counts; taken where the dossier names no meter for it",
    ranges=(
        *(
            Range(measures="voltage dc", up_to=up_to, resolution=step, accuracy="±(0.5 % + 3)")
            for up_to, step in (("600 mV", "0.1 mV"), ("6 V", "1 mV"), ("60 V", "10 mV"), ("600 V", "0.1 V"))
        ),
        *(
            Range(measures="current dc", up_to=up_to, resolution=step, accuracy="±(1 % + 3)")
            for up_to, step in (("6 mA", "1 µA"), ("60 mA", "10 µA"), ("600 mA", "0.1 mA"), ("20 A", "10 mA"))
        ),
        *(
            Range(measures="resistance", up_to=up_to, resolution=step, accuracy="±(0.9 % + 3)")
            for up_to, step in (("600 Ω", "0.1 Ω"), ("6 kΩ", "1 Ω"), ("60 kΩ", "10 Ω"), ("6 MΩ", "1 kΩ"))
        ),
    ),
    input_resistance="10 MΩ",
)
"""Common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Effort:
    """What a sort of reading costs.

    Attributes
    ----------
    minutes : float
        With the situation set up.
    risk : float
        What it is counted times for what may go wrong, such as a lifted pad; 1 for nothing.
    """

    minutes: float
    risk: float = 1.0


EFFORTS: Mapping[str, Effort] = {
    "voltage": Effort(minutes=1.0),
    "supply current": Effort(minutes=3.0),
    "current": Effort(minutes=8.0, risk=1.5),
    "resistance": Effort(minutes=1.0),
    "diode": Effort(minutes=1.0),
    "continuity": Effort(minutes=0.5),
}
SETTING_UP = 3.0
"""Minutes to set up a situation in which nothing has been read yet."""
MAINS_RISK = 10.0
"""What a reading on a live circuit is counted times."""
NEAR = 60
"""Pairs of nets between which dead tests are looked at beside those across parts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One reading that could be taken.

    Attributes
    ----------
    sort : str
        One of `EFFORTS`.
    watched : Watched
        Where; its value of no meaning.
    minutes : float
        Of effort, setting up included.
    risk : float
        What the effort is counted times.
    live : bool
        Whether the circuit is then at a dangerous voltage.
    """

    sort: str
    watched: Watched
    minutes: float
    risk: float
    live: bool

    @property
    def dead(self) -> bool:
        """Whether it is taken without power."""
        return isinstance(self.watched.target, DeadTest)

    @property
    def cost(self) -> float:
        """Minutes, counted times the risk."""
        return self.minutes * self.risk


def is_mains(circuit: Circuit, situation: Situation) -> bool:
    """Whether a supply of a situation is at a voltage that is dangerous to touch.

    Parameters
    ----------
    circuit : Circuit
        Whose supplies count.
    situation : Situation
        Which of them are connected, and at what voltage.

    Returns
    -------
    bool
        A supply without a voltage of its own does not count.
    """
    table = situation_table(circuit, (situation,))
    for part in circuit.parts:
        if not kind_of(part).supplies:
            continue

        def of(name: str, otherwise: float, reference: str = part.reference) -> float:
            return float(table[reference, name][0]) if (reference, name) in table else otherwise

        limit = LIVE_AC if "frequency" in kind_of(part).parameters_of(part) else LIVE
        highest = max(abs(of(name, 0.0)) for name in ("voltage", "offset", "high", "low", "emf"))
        if of("connected", 1.0) > 0.5 and highest > limit:
            return True
    return False


def candidates_of(
    circuit: Circuit,
    situations: Sequence[Situation],
    taken: Sequence[Watched],
    explanations: Sequence[Believed] = (),
    *,
    input_ohms: float | None = 1e7,
) -> tuple[Candidate, ...]:
    """Every reading worth looking at that is not taken yet.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : sequence of Situation
        In which it can be powered; one in which nothing drives it is left out.
    taken : sequence of Watched
        Readings so far.
    explanations : sequence of Believed, optional
        Whose parts and nets the dead tests stay near.
    input_ohms : float or None, optional
        Of the voltmeter.

    Returns
    -------
    tuple of Candidate
        Powered ones first, in the order of the situations.
    """
    seen = {
        (replace(one.target, decades=0) if isinstance(one.target, DeadTest) else one.target, one.situation)
        for one in taken
    }
    used = {one.situation for one in taken}
    found: list[Candidate] = []
    for situation in situations:
        if not is_driven(circuit, situation):
            continue
        live = is_mains(circuit, situation)
        more = 0.0 if situation.name in used else SETTING_UP
        for sort, target in _powered(circuit):
            if (target, situation.name) in seen:
                continue
            effort = EFFORTS[sort]
            load = input_ohms if sort == "voltage" else None
            watched = Watched(
                name=f"{target} in {situation.name}",
                target=target,
                situation=situation.name,
                value=1.0,
                deviation=0.0,
                load=load,
            )
            found.append(
                Candidate(
                    sort=sort,
                    watched=watched,
                    minutes=effort.minutes + more,
                    risk=effort.risk * (MAINS_RISK if live else 1.0),
                    live=live,
                )
            )
    for test in _dead_tests(circuit, explanations):
        if (test, "") in seen:
            continue
        effort = EFFORTS[test.range_name]
        ranged = test.showing(_nominal(circuit, test))
        watched = Watched(name=str(test), target=ranged, situation="", value=1.0, deviation=0.0)
        found.append(
            Candidate(
                sort=test.range_name, watched=watched, minutes=effort.minutes, risk=effort.risk, live=False
            )
        )
    return tuple(found)


def is_driven(circuit: Circuit, situation: Situation) -> bool:
    """Whether anything supplies the circuit in a situation.

    Parameters
    ----------
    circuit : Circuit
        Whose supplies count.
    situation : Situation
        Which of them are connected.

    Returns
    -------
    bool
        False where all of them are disconnected.
    """
    table = situation_table(circuit, (situation,))
    return any(
        kind_of(part).supplies and float(table.get((part.reference, "connected"), [1.0])[0]) > 0.5
        for part in circuit.parts
    )


def _powered(circuit: Circuit) -> list[tuple[str, NetVoltage | AcrossPart | InPart]]:
    ground = circuit.ground
    found: list[tuple[str, NetVoltage | AcrossPart | InPart]] = [
        ("voltage", NetVoltage(net=net)) for net in circuit.nets if net != ground
    ]
    for part in circuit.parts:
        if not has_path(part):
            continue
        ends = {part.pins[pin] for pin in path_of(part)}
        if len(ends) == 2 and ground not in ends:
            found.append(("voltage", AcrossPart(reference=part.reference)))
        sort = "supply current" if kind_of(part).supplies else "current"
        if kind_of(part).supplies or len(part.pins) == 2:
            found.append((sort, InPart(reference=part.reference, what="current")))
    return found


def _dead_tests(circuit: Circuit, explanations: Sequence[Believed]) -> list[DeadTest]:
    pairs: dict[tuple[str, str], None] = {}
    likely = sorted(explanations, key=lambda one: -one.probability)
    nets = set(circuit.nets)
    for one in likely:
        about = list(dict.fromkeys(net for net in one.nets if net in nets))
        for reference in one.parts:
            if any(part.reference == reference for part in circuit.parts):
                about.extend(net for net in circuit.part(reference).pins.values() if net not in about)
        pairs.update(dict.fromkeys(combinations(about[:6], 2)))
    pairs = dict(list(pairs.items())[:NEAR])
    for part in circuit.parts:
        if len(part.pins) == 2:
            ends = tuple(part.pins.values())
            if ends[0] != ends[1] and (ends[1], ends[0]) not in pairs:
                pairs[ends[0], ends[1]] = None
    found: list[DeadTest] = []
    for red, black in pairs:
        found.extend(DeadTest(red=red, black=black, range_name=name) for name in RANGES)
        found.append(DeadTest(red=black, black=red, range_name="diode"))
    for one in likely:
        found.extend(
            DeadTest(red=red, black=black, range_name="continuity") for red, black in _pad_pairs(circuit, one)
        )
    return list(dict.fromkeys(found))


def _nominal(circuit: Circuit, test: DeadTest) -> float:
    """Least resistance written on a part between the two nets, by which the meter's range is chosen; 0 without any."""
    between = [
        value
        for part in circuit.parts
        if set(part.pins.values()) == {test.red, test.black}
        and isinstance(value := part.values.get("resistance"), (int, float))
    ]
    return float(min(between, default=0.0))


def _pad_pairs(circuit: Circuit, one: Believed) -> list[tuple[str, str]]:
    """Pads between which a beeper tells whether a pin is on its net, for explanations that move pins."""
    found: list[tuple[str, str]] = []
    for slip in one.slips:
        if slip.variant.pads:
            continue
        for pin, net in slip.variant.pins.items():
            own = circuit.part(pin.reference).pins[pin.pin]
            others = [other for other in circuit.nets[own] if other not in slip.variant.pins]
            found.extend((str(pin), str(other)) for other in others[:1])
            if net in circuit.nets:
                there = [other for other in circuit.nets[net] if other.reference != pin.reference]
                found.extend((str(pin), str(other)) for other in there[:1])
    return found
