"""From a circuit to a drawing: levels, repeats, sheets."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit
from lidoff.schematic.contacts import contacts_apart, with_contacts
from lidoff.schematic.drawing import Drawing, Repeat
from lidoff.schematic.levels import find_levels
from lidoff.schematic.options import AlternatingCircuit, ContactCircuit, DrawingOptions, Group, SolvedCircuit
from lidoff.schematic.repeats import gather_repeats, gather_runs
from lidoff.schematic.sheet import Facts, lay_out
from lidoff.schematic.sheets import split_sheets

__all__ = ["draw"]

LEAST_VOLTAGE = 1e-6
"""Below this a voltage is written as nought [V]: no bench meter tells it from nought."""
LEAST_SHARE = 1e-5
"""Below this share of the highest voltage, one is written as nought: what leaks into a part without power."""
LEAST_CURRENT = 1e-9
"""Below this a current is written as nought [A]."""


def draw(
    circuit: Circuit,
    solution: SolvedCircuit | None = None,
    *,
    groups: Sequence[Group] = (),
    options: DrawingOptions = DrawingOptions(),  # noqa: B008
    before: Drawing | None = None,
    notes: Sequence[str] = (),
) -> Drawing:
    """Schematic of a circuit.

    Parameters
    ----------
    circuit : Circuit
        Whose parts are all of known kinds.
    solution : SolvedCircuit, optional
        Voltages and currents of one situation, to be written in, where they are finite numbers; the layout
        does not depend on it, so that the drawings of all situations match.
    groups : sequence of Group
        Parts that belong together, with captions.
    options : DrawingOptions
        What a person chose.
    before : Drawing, optional
        An earlier drawing of nearly the same circuit: what it showed stays where it stood, and only what is
        new looks for a place.
    notes : sequence of str
        What a reader must know of the numbers, written under each sheet.

    Returns
    -------
    Drawing
        The same circuit always gives the same drawing, whatever the order of its parts.

    Raises
    ------
    UnknownName
        A part is of an unknown kind.
    """
    ordered = Circuit(
        parts=tuple(sorted(circuit.parts, key=lambda part: _natural(part.reference))),
        ground=circuit.ground,
        title=circuit.title,
        rails=circuit.rails,
    )
    for part in ordered.parts:
        kind_of(part)
    levels = find_levels(ordered)
    voltages, currents = _solved(ordered, solution)
    alternating, waves = _alternating(solution, voltages, currents)
    shown = ordered
    repeats: tuple[Repeat, ...] = ()
    if options.abbreviate:
        shown, repeats = gather_repeats(ordered, levels, options)
        shown, runs = gather_runs(shown, levels, max(4, options.least_repeats))
        repeats = (*repeats, *runs)
    touches = solution.contacts if isinstance(solution, ContactCircuit) else {}
    apart = contacts_apart(ordered, repeats, touches)
    facts = Facts(
        levels=levels,
        groups=tuple(groups),
        repeats=repeats,
        options=options,
        voltages=voltages,
        currents=currents,
        alternating=alternating,
        alternating_currents=waves,
        notes=(*notes, f"{apart}.") if apart else tuple(notes),
        before=before,
    )
    title = options.title or circuit.title
    pieces = split_sheets(shown, levels, groups, options.parts_a_sheet)
    sheets = []
    for number, (name, references) in enumerate(pieces):
        parts = tuple(part for part in shown.parts if part.reference in references)
        elsewhere = {
            net for part in shown.parts if part.reference not in references for net in part.pins.values()
        }
        heading = title if len(pieces) == 1 else f"{title or 'Circuit'} · {number + 1} of {len(pieces)}"
        heading += f" · {name}" if name else ""
        sheets.append(lay_out(replace(shown, parts=parts), facts, title=heading, named=frozenset(elsewhere)))
    drawing = Drawing(
        circuit=circuit,
        shown=shown,
        sheets=tuple(sheets),
        repeats=repeats,
        potential=levels.potential,
        voltages=voltages,
        currents=currents,
        alternating=alternating,
        options=options,
    )
    return with_contacts(drawing, touches)


def _natural(reference: str) -> tuple[str, int, str]:
    """Sort key that puts R2 before R10."""
    letters = reference.rstrip("0123456789")
    digits = reference[len(letters) :]
    return (letters, int(digits) if digits else -1, reference)


def _settled(value: float, least: float) -> float:
    """Value as it is written: what is below the least is nought."""
    return 0.0 if abs(value) < least else float(value)


def _alternating(
    solution: SolvedCircuit | None, voltages: Mapping[str, float], currents: Mapping[str, float]
) -> tuple[dict[str, float], dict[str, float]]:
    """What alternates on the nets whose voltage is written, and in the parts whose current is."""
    if not isinstance(solution, AlternatingCircuit):
        return {}, {}
    volts = {net: float(solution.alternating(net)) for net in voltages}
    amps = {reference: float(solution.alternating_current(reference)) for reference in currents}
    return _positive(volts), _positive(amps)


def _positive(values: Mapping[str, float]) -> dict[str, float]:
    return {name: value for name, value in values.items() if math.isfinite(value) and value > 0.0}


def _solved(circuit: Circuit, solution: SolvedCircuit | None) -> tuple[dict[str, float], dict[str, float]]:
    if solution is None:
        return {}, {}
    solved = {net: float(solution.voltage(net)) for net in circuit.nets}
    least = max(
        LEAST_VOLTAGE, LEAST_SHARE * max((abs(v) for v in solved.values() if math.isfinite(v)), default=0.0)
    )
    voltages = {net: _settled(volts, least) for net, volts in solved.items()}
    currents = {
        part.reference: _settled(solution.current(part.reference), LEAST_CURRENT)
        for part in circuit.parts
        if kind_of(part).path and all(pin in part.pins for pin in kind_of(part).path)
    }
    voltages = {net: volts for net, volts in voltages.items() if math.isfinite(volts)}
    currents = {reference: amps for reference, amps in currents.items() if math.isfinite(amps)}
    return voltages, currents
