"""What a meter would show on the unpowered circuit: resistance, diode and continuity ranges, between any nets.

Nothing of the circuit is idealised away: junctions conduct as far as the test voltage opens them, so that a resistance read in
circuit is predicted as it would be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array, kind_of
from lidoff.circuit.netlist import Circuit, Part, Situation
from lidoff.circuit.operating import situation_table
from lidoff.circuit.solve.assemble import IndexedTable, assemble
from lidoff.circuit.solve.homotopy import solve_batch
from lidoff.errors import UnknownName

__all__ = ["CONTINUITY", "DIODE_RANGE", "OHM_RANGE", "MeterRange", "Probed", "all_pairs", "probe"]

METER = "meter~"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterRange:
    """One range of a meter.

    Attributes
    ----------
    name : str
    test_current : float
        Driven from red to black [A].
    open_voltage : float
        With the probes apart [V].
    highest : float
        Full scale: [Ω] for a resistance, [V] for the diode range.
    beeps_below : float
        Resistance below which the beeper sounds [Ω]; zero for a range without a beeper.
    lead_resistance : float
        Each lead [Ω]; taken off a resistance reading, as after zeroing.
    """

    name: str
    test_current: float
    open_voltage: float
    highest: float
    beeps_below: float = 0.0
    lead_resistance: float = 0.1


# Test currents and voltages differ between meters; these are usual ones of 6000 counts: common practice, no source.
OHM_RANGE = MeterRange(name="resistance", test_current=1e-4, open_voltage=1.0, highest=6e3)
DIODE_RANGE = MeterRange(name="diode", test_current=1e-3, open_voltage=3.0, highest=2.0)
CONTINUITY = MeterRange(
    name="continuity", test_current=1e-3, open_voltage=2.0, highest=600.0, beeps_below=50.0
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Probed:
    """What the meter would show, one row a pair of nets.

    Attributes
    ----------
    pairs : tuple of (str, str)
        Red on the first, black on the second.
    volts : ndarray of shape (P,)
        Voltage between the probes' tips [V].
    ohms : ndarray of shape (P,)
        Voltage over test current [Ω]; infinite when over the range.
    over_range : ndarray of bool, shape (P,)
        Whether the meter shows that it is over its range.
    beeps : ndarray of bool, shape (P,)
        Whether the beeper sounds.
    settled : ndarray of bool, shape (P,)
        Whether the prediction was found.
    """

    pairs: tuple[tuple[str, str], ...]
    volts: Array
    ohms: Array
    over_range: NDArray[np.bool_]
    beeps: NDArray[np.bool_]
    settled: NDArray[np.bool_]


def all_pairs(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Every pair of nets, both ways round, sorted."""
    one_way = tuple(combinations(circuit.nets, 2))
    return (*one_way, *((black, red) for red, black in one_way))


def probe(
    circuit: Circuit,
    pairs: Sequence[tuple[str, str]],
    meter: MeterRange = OHM_RANGE,
    *,
    situation: Situation | None = None,
) -> Probed:
    """Predict one range of a meter between pairs of nets, all in one batch.

    Parameters
    ----------
    circuit : Circuit
        Taken without its supplies: each part that supplies is disconnected if it can be, cells stay where they are.
    pairs : sequence of (str, str)
        Red net, black net.
    meter : MeterRange, optional
    situation : Situation, optional
        Switch positions and the like.

    Returns
    -------
    Probed

    Raises
    ------
    UnknownName
        A net does not exist.
    """
    nets = tuple(circuit.nets)
    for net in {net for pair in pairs for net in pair}:
        if net not in nets:
            raise UnknownName(f"there is no net {net!r}", name=net, known=nets)
    touched = tuple(sorted({net for pair in pairs for net in pair}))
    probing = Part(
        reference=METER,
        kind="meter",
        pins={net: net for net in touched},
        values={
            "test_current": meter.test_current,
            "open_voltage": meter.open_voltage,
            "lead_resistance": meter.lead_resistance,
        },
    )
    together = Circuit(parts=(*circuit.parts, probing), ground=circuit.ground)
    table = dict(situation_table(together, (_unplugged(circuit, situation),)))
    red = np.array([touched.index(pair[0]) for pair in pairs])
    black = np.array([touched.index(pair[1]) for pair in pairs])
    for index, net in enumerate(touched):
        table[METER, f"red on {net}"] = (red == index).astype(float)
        table[METER, f"black on {net}"] = (black == index).astype(float)
    system = assemble(together)
    outcome = solve_batch(system, IndexedTable(table), samples=len(pairs))
    padded = np.concatenate([outcome.unknowns, np.zeros((len(pairs), 1))], axis=1)
    volts = padded[:, system.position[f"{METER}~red"]] - padded[:, system.position[f"{METER}~black"]]
    ohms = np.maximum(volts / meter.test_current - 2.0 * meter.lead_resistance, 0.0)
    diode = meter.name == DIODE_RANGE.name
    shown = volts if diode else ohms
    over = (shown > meter.highest) | (volts > 0.99 * meter.open_voltage)
    return Probed(
        pairs=tuple(pairs),
        volts=volts,
        ohms=np.where(over, np.inf, ohms),
        over_range=over,
        beeps=~over & (ohms < meter.beeps_below),
        settled=outcome.settled,
    )


def _unplugged(circuit: Circuit, situation: Situation | None) -> Situation:
    """Return the situation with every supply that can be disconnected disconnected."""
    settings = {name: dict(values) for name, values in (situation.settings if situation else {}).items()}
    for part in circuit.parts:
        kind = kind_of(part)
        if kind.supplies and "connected" in kind.parameters_of(part):
            settings.setdefault(part.reference, {})["connected"] = 0.0  # the word for it differs by kind
    return Situation(name="unplugged", settings=settings)
