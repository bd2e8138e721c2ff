"""The schematic of a dossier as somebody wishes to see it: what the command line draws and what the workbench hands out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from lidoff.dossier.drawing import drawing_options
from lidoff.errors import CircuitFault, ImpossibleValue, NetsUnsettled, UnknownName

if TYPE_CHECKING:
    from lidoff.circuit import Circuit, Solution
    from lidoff.dossier.drawn_figures import SolvedFigures
    from lidoff.dossier.entries import Dossier
    from lidoff.insight import Misfit
    from lidoff.schematic import Drawing, Group

__all__ = ["DrawingWish", "drawing_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawingWish:
    """How a schematic is wished for, beside what the dossier chose for all its drawings.

    Attributes
    ----------
    situation : str
        Whose voltages to write in; empty for none.
    currents, voltage_colours : bool
        Whether to write the currents in as well, and to colour each net by its voltage; both need a situation.
    loop_of : str
        Part whose current's way to light up; needs a situation. Empty for none.
    light_up : tuple of str
        Parts and nets to light up; what is not is dimmed. Empty dims nothing.
    blocks : bool
        Whether to tint what belongs together.
    misfit : bool
        Whether to tint the parts that the readings strain.
    every_part : bool
        Whether to draw repeats out in full.
    zigzag : bool
        Whether to draw resistors as zigzags.
    """

    situation: str = ""
    currents: bool = False
    voltage_colours: bool = False
    loop_of: str = ""
    light_up: tuple[str, ...] = ()
    blocks: bool = False
    misfit: bool = False
    every_part: bool = False
    zigzag: bool = False


def drawing_of(
    dossier: Dossier, circuit: Circuit, wish: DrawingWish, misfit: Callable[[], Misfit | None]
) -> Drawing:
    """Schematic of a dossier's circuit.

    Parameters
    ----------
    dossier : Dossier
        Tells situations and the choices of the drawing.
    circuit : Circuit
        Its circuit, with at least one part.
    wish : DrawingWish
        How it is to be drawn.
    misfit : callable () → Misfit or None
        Called where its parts are to be tinted, since an analysis takes a while.

    Returns
    -------
    Drawing
        The same for the same dossier and wish.

    Raises
    ------
    ImpossibleValue
        Numbers are wished for and no situation, or there is no reading to tint parts by.
    UnknownName
        There is no such situation, part or net.
    CircuitFault
        The part whose way is to be lit up carries no current.
    NetsUnsettled
        The situation has no operating point that can be found.
    """
    from lidoff.schematic import draw

    if not wish.situation and (wish.currents or wish.voltage_colours or wish.loop_of):
        raise ImpossibleValue(
            "there are no numbers without a situation", remedy="choose whose numbers to write in"
        )
    solution = _solved(dossier, circuit, wish.situation) if wish.situation else None
    parts, nets = _lit(circuit, solution, wish)
    strained = _strained(misfit()) if wish.misfit else ()
    written, notes = (None, ()) if solution is None else _figures(dossier, circuit, solution, wish.situation)
    return draw(
        circuit,
        written,
        notes=notes,
        groups=(*(_blocks(circuit, solution) if wish.blocks else ()), *strained),
        options=drawing_options(
            dossier,
            currents=wish.currents,
            voltage_ramp=wish.voltage_colours,
            highlight_parts=parts,
            highlight_nets=nets,
            highlight_way=bool(wish.loop_of),
            keep_apart=tuple(group.parts[0] for group in strained),
            abbreviate=False if wish.every_part else None,
            zigzag_resistors=True if wish.zigzag else None,
        ),
    )


def _solved(dossier: Dossier, circuit: Circuit, name: str) -> Solution:
    """Operating point of one situation, as the only sample."""
    from lidoff.circuit import operating_point
    from lidoff.dossier.solving import unrest
    from lidoff.dossier.wiring import situations_of

    situations = {situation.name: situation for situation in situations_of(dossier)}
    if name not in situations:
        raise UnknownName(f"the dossier has no situation {name!r}", name=name, known=situations)
    solution = operating_point(circuit, situations=[situations[name]])
    if not solution.settled[0]:
        raise solution.unsettled(0)
    restless = unrest(solution, {0: situations[name]}).get(0)
    if restless is not None:
        raise NetsUnsettled(
            f"the situation {name!r} has no numbers: {restless.what}",
            nets=restless.nets,
            remedy="draw the circuit without a situation",
        )
    return solution


def _figures(
    dossier: Dossier, circuit: Circuit, solution: Solution, name: str
) -> tuple[SolvedFigures, tuple[str, ...]]:
    """What is written at nets and parts, over a period where something alternates, and what is to be said of it."""
    from lidoff.dossier.drawn_figures import figures_at, notes_at
    from lidoff.dossier.periods import changes_with_time
    from lidoff.dossier.wiring import situations_of
    from lidoff.hazards import Subject

    situation = next(one for one in situations_of(dossier) if one.name == name)
    waveforms, point = None, solution.at(0)
    if changes_with_time(circuit, situation):
        (repeating,) = Subject(circuit=circuit, situations={name: situation}).repeating
        waveforms = repeating.waveforms
    figures = figures_at(circuit, situation, point, waveforms)
    return figures, notes_at(circuit, situation, point, waveforms)


def _lit(
    circuit: Circuit, solution: Solution | None, wish: DrawingWish
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Parts and nets to be lit up; none means that nothing is dimmed."""
    references = {part.reference for part in circuit.parts}
    for name in wish.light_up:
        if name not in references and name not in circuit.nets:
            raise UnknownName(
                f"the circuit has neither a part nor a net {name!r}",
                name=name,
                known=sorted({*references, *circuit.nets}),
            )
    parts = [name for name in wish.light_up if name in references]
    nets = [name for name in wish.light_up if name not in references]
    if wish.loop_of and solution is not None:
        from lidoff.insight import flows_of, loop_of

        if wish.loop_of not in references:
            raise UnknownName(
                f"the circuit has no part {wish.loop_of!r}", name=wish.loop_of, known=sorted(references)
            )
        loop = loop_of(flows_of(solution, 0), circuit.part(wish.loop_of))
        if not loop:
            raise CircuitFault(
                f"{wish.loop_of} carries no current in the situation {wish.situation}",
                remedy="choose another part or another situation",
            )
        parts.extend(flow.reference for flow in loop)
        nets.extend(net for flow in loop for net in (flow.start, flow.end) if net in circuit.nets)
    return tuple(dict.fromkeys(parts)), tuple(dict.fromkeys(nets))


def _blocks(circuit: Circuit, solution: Solution | None) -> tuple[Group, ...]:
    from lidoff.insight import groups_of, recognise

    return groups_of(recognise(circuit, solution))


def _strained(misfit: Misfit | None) -> tuple[Group, ...]:
    """Parts that the readings strain, each a tinted group."""
    from lidoff.insight import tinted_groups

    if misfit is None or not misfit.readings:
        raise ImpossibleValue(
            "there is no reading of the circuit to tint it by",
            remedy="take some first, or draw without the misfit",
        )
    return tinted_groups(misfit)
