"""The quick stage: circuit, operating points and drawing of a state, soon enough to follow each edit."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from lidoff.dossier.documents import Documents
from lidoff.dossier.faults import Read, read_documents
from lidoff.errors import DossierError, LidoffError

if TYPE_CHECKING:
    from lidoff.circuit import Circuit, OperatingPoint, Situation
    from lidoff.dossier import Dossier, SolvedFigures
    from lidoff.schematic import Drawing, DrawingOptions, Group

__all__ = ["Looks", "Quick", "View", "drawn", "lay_out_afresh", "quick_json", "quick_of", "svg_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Looks:
    """What a person chose of a drawing: repeats drawn out in full, resistors as zigzags, blocks tinted."""

    every_part: bool = False
    zigzag: bool = False
    tint: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """What a page shows of a circuit: how it is drawn, whose numbers stand in it, and on which ground."""

    looks: Looks = Looks()
    situation: str = ""
    currents: bool = False
    theme: str = "light"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Quick:
    """A state's circuit with its nominal operating points.

    Attributes
    ----------
    revision, generation : int
        Of the state.
    dossier : Dossier or None
        None where the state cannot be loaded.
    circuit : Circuit or None
    points : mapping of str to OperatingPoint
        By situation, of those that settled.
    unsolved : mapping of str to LidoffError
        By situation, of the others.
    problem : LidoffError or None
        Why there is no circuit.
    drawings : dict of Looks to Drawing
        One drawing of each layout made so far, whosever numbers stand in it; filled as they are asked for.
    earlier : dict of Looks to Drawing
        Those of the state before, so that things stay where they stood; emptied when a person wants a new layout.
    texts : dict of View to str
        Drawings made so far, as SVG.
    asked : dict of View to None
        Those of them that a page took.
    guard : lock
        One drawing is made at a time.
    """

    revision: int
    generation: int
    dossier: Dossier | None
    circuit: Circuit | None
    points: Mapping[str, OperatingPoint]
    unsolved: Mapping[str, LidoffError]
    problem: LidoffError | None
    drawings: dict[Looks, Drawing] = field(default_factory=dict)
    earlier: dict[Looks, Drawing] = field(default_factory=dict)
    texts: dict[View, str] = field(default_factory=dict)
    asked: dict[View, None] = field(default_factory=dict)
    guard: threading.RLock = field(default_factory=threading.RLock)


def quick_of(documents: Documents, *, generation: int, revision: int, before: Quick | None) -> Quick:
    """Quick stage of a state.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of the state.
    generation, revision : int
        Its numbers.
    before : Quick or None
        Of the state before.

    Returns
    -------
    Quick
        Without drawings; see `svg_of`.
    """
    from lidoff.dossier import circuit_of, situations_of

    earlier = {**before.earlier, **before.drawings} if before is not None else {}
    nothing = Quick(
        revision=revision,
        generation=generation,
        dossier=None,
        circuit=None,
        points={},
        unsolved={},
        problem=None,
        earlier=earlier,
    )
    read = read_documents(documents)
    if read.dossier is None:
        return replace(nothing, problem=_why_not(read))
    dossier = read.dossier
    try:
        circuit = circuit_of(dossier)
        situations = situations_of(dossier)
    except LidoffError as error:
        return replace(nothing, dossier=dossier, problem=error)
    points, unsolved = _points(circuit, situations)
    return replace(nothing, dossier=dossier, circuit=circuit, points=points, unsolved=unsolved)


def _why_not(read: Read) -> LidoffError:
    if len(read.faults) == 1:
        return read.faults[0]
    if read.faults:
        return DossierError(f"{len(read.faults)} faults in the dossier", faults=read.faults)
    return DossierError("there is no dossier yet", remedy="begin it first")


def _points(
    circuit: Circuit, situations: tuple[Situation, ...]
) -> tuple[dict[str, OperatingPoint], dict[str, LidoffError]]:
    from lidoff.circuit import operating_point
    from lidoff.dossier.solving import unrest

    points: dict[str, OperatingPoint] = {}
    unsolved: dict[str, LidoffError] = {}
    if not circuit.parts:
        return points, unsolved
    groups: list[list[Situation]] = [list(situations)]
    while groups:
        group = groups.pop(0)
        try:
            solution = operating_point(circuit, situations=group)
        except LidoffError as error:
            if len(group) > 1:
                groups.extend([one] for one in group)
            elif group:
                unsolved[group[0].name] = error
            continue
        left = unrest(solution, {index: one for index, one in enumerate(group) if solution.settled[index]})
        for index, one in enumerate(group):
            why = left.get(index) if solution.settled[index] else solution.unsettled(index)
            if why is None:
                points[one.name] = solution.at(index)
            else:
                unsolved[one.name] = why
    return points, unsolved


def _options(quick: Quick, looks: Looks, *, currents: bool = False) -> DrawingOptions:
    """What the dossier chose of its drawing, and what this page looks at otherwise."""
    from lidoff.dossier import drawing_options

    assert quick.dossier is not None
    return drawing_options(
        quick.dossier,
        abbreviate=False if looks.every_part else None,
        zigzag_resistors=True if looks.zigzag else None,
        currents=currents,
    )


def _groups(quick: Quick) -> tuple[Group, ...]:
    """Parts of each recognised block."""
    from lidoff.insight import groups_of, recognise

    assert quick.circuit is not None
    return groups_of(recognise(quick.circuit))


def svg_of(quick: Quick, view: View) -> str:
    """Drawing of a state as a page shows it.

    Parameters
    ----------
    quick : Quick
        The state.
    view : View
        What is shown of it.

    Returns
    -------
    str
        SVG, kept for the next that asks.

    Raises
    ------
    DossierError
        There is no circuit to draw.
    """
    with quick.guard:
        if view not in quick.texts:
            drawing = drawn(quick, view.looks, situation=view.situation, currents=view.currents)
            quick.texts[view] = drawing.to_svg(view.theme)
        return quick.texts[view]


def lay_out_afresh(quick: Quick) -> None:
    """Forget where things stood, so that the next drawing finds the best place for each, as after a start.

    Places that a person gave stay: they are of the dossier.

    Parameters
    ----------
    quick : Quick
        The state; those after it count from its new layout.
    """
    with quick.guard:
        for kept in (quick.earlier, quick.drawings, quick.texts):
            kept.clear()


def drawn(quick: Quick, looks: Looks, *, situation: str = "", currents: bool = False) -> Drawing:
    """Drawing of a state's circuit, with one situation's numbers.

    Parameters
    ----------
    quick : Quick
        The state.
    looks : Looks
        What was chosen.
    situation : str
        Whose voltages are written in; none where it is empty or did not settle.
    currents : bool
        Whether currents are written in as well.

    Returns
    -------
    Drawing
        Laid out as the same circuit without numbers.

    Raises
    ------
    DossierError
        There is no circuit to draw.
    """
    from lidoff.schematic import draw

    circuit = quick.circuit
    if circuit is None or not circuit.parts:
        raise quick.problem or DossierError(
            "there is nothing to draw: the dossier has no parts yet", remedy="add a part and its pins"
        )
    groups, point = _groups(quick) if looks.tint else (), _figures(quick, situation)
    currents = currents and point is not None
    with quick.guard:
        layout = quick.drawings.get(looks)
        if layout is None:
            # Voltages move nothing, so the first drawing of a state has them in at once; room for currents would.
            before = quick.earlier.get(looks)
            layout = draw(circuit, point, groups=groups, options=_options(quick, looks), before=before)
            quick.drawings[looks] = layout
            if not currents:
                return layout
    return draw(
        circuit, point, groups=groups, options=_options(quick, looks, currents=currents), before=layout
    )


def _figures(quick: Quick, situation: str) -> SolvedFigures | None:
    """What is written at nets and parts; where something alternates nothing is, as following a period takes too long here."""
    from lidoff.dossier import situations_of
    from lidoff.dossier.drawn_figures import figures_at

    point = quick.points.get(situation)
    if point is None or quick.circuit is None or quick.dossier is None:
        return None
    told = next(one for one in situations_of(quick.dossier) if one.name == situation)
    return figures_at(quick.circuit, told, point)


def quick_json(quick: Quick) -> dict[str, object]:
    """Quick stage as plain data, in the form of a full analysis; uncertainties come with the full one.

    Parameters
    ----------
    quick : Quick
        With a circuit.

    Returns
    -------
    dict
        ``situations`` alone.
    """
    from lidoff.dossier import situations_of

    assert quick.dossier is not None
    assert quick.circuit is not None
    situations: dict[str, object] = {}
    for one in situations_of(quick.dossier) if quick.circuit.parts else ():
        point = quick.points.get(one.name)
        if point is None:
            error = quick.unsolved[one.name]
            situations[one.name] = {
                "title": one.title, "solved": False, "what": error.what, "remedy": error.remedy,
                "unsettled_nets": list(getattr(error, "nets", ())), "nets": {}, "undetermined": [],
                "parts": {}, "supplies": {},
            }  # fmt: skip
            continue
        situations[one.name] = {"title": one.title, "solved": True, **_told(quick.circuit, point)}
    return {"situations": situations}


def _told(circuit: Circuit, point: OperatingPoint) -> dict[str, object]:
    from lidoff.circuit import kind_of, supplies_of

    loose, leakage = point.undetermined, point.leakage
    highest = max((abs(point.voltage(net)) for net in circuit.nets), default=0.0)
    nets = {net: {"voltage": _amount(point.voltage(net), "V")} for net in circuit.nets if net not in loose}
    parts: dict[str, dict[str, object]] = {}
    for part in circuit.parts:
        reference = part.reference
        told: dict[str, object] = {}
        path = kind_of(part).path
        if path and all(pin in part.pins for pin in path):
            if not loose.intersection(part.pins.values()):
                told["voltage"] = _amount(point.part_voltage(reference), "V")
            told["current"] = _amount(_above(point.current(reference), leakage), "A")
        told["power"] = _amount(_above(point.power(reference), leakage * highest), "W")
        parts[reference] = told
    supplies = {
        reference: {
            name: _amount(-value["value"], str(value["unit"]))  # type: ignore[index]
            for name, value in parts[reference].items()
            if name != "voltage"
        }
        for reference in supplies_of(circuit)
    }
    return {"nets": nets, "undetermined": sorted(loose), "parts": parts, "supplies": supplies}


def _above(value: float, least: float) -> float:
    """Number, or nought where it may be what the solver's least conductances take."""
    return 0.0 if abs(value) <= least else value


def _amount(value: float, unit: str) -> dict[str, object]:
    return {"value": float(value) + 0.0, "unit": unit, "uncertainty": None}
