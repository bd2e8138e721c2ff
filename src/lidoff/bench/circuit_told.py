"""The circuit as a page asks for it: parts with the texts of their values, nets with what hangs on them."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from pydantic import JsonValue

from lidoff.bench.models import Closed
from lidoff.bench.quick import Quick

if TYPE_CHECKING:
    from lidoff.circuit import Part
    from lidoff.dossier import Dossier, PartEntry

__all__ = ["CircuitTold", "circuit_told"]


class PartValue(Closed):
    """One parameter of a part: as written, and what holds where nothing is."""

    text: str
    title: str
    unit: str
    typical: str


class PartTold(Closed):
    """One part of the circuit."""

    reference: str
    kind: str
    kind_title: str
    pins: dict[str, str]
    pin_titles: dict[str, str]
    value: str
    values: dict[str, PartValue]
    does: str
    board: str
    marking: str
    package: str


class NetTold(Closed):
    """One net of the circuit."""

    name: str
    role: str
    pins: list[str]
    parts: list[str]


class LandTold(Closed):
    """One land of a placed part, and the net that its copper is on; empty for none."""

    land: str
    net: str


class UntoldPart(Closed):
    """One part that lies on a board, and of which is not told yet what it is."""

    reference: str
    board: str
    package: str
    side: str
    lands: list[LandTold]


class CircuitTold(Closed):
    """The circuit at one revision; `untold` are parts that lie on boards and wait to be told."""

    revision: int
    parts: list[PartTold]
    nets: list[NetTold]
    blocks: list[dict[str, JsonValue]]
    untold: list[UntoldPart]


def circuit_told(quick: Quick | None, blocks: object) -> CircuitTold:
    """Circuit of a state.

    Parameters
    ----------
    quick : Quick or None
        The state.
    blocks : list of dict
        Recognised blocks, as plain data.

    Returns
    -------
    CircuitTold
        Empty where there is no circuit.
    """
    if quick is None or quick.dossier is None:
        revision = -1 if quick is None else quick.revision
        return CircuitTold(revision=revision, parts=[], nets=[], blocks=[], untold=[])
    untold = _untold(quick.dossier)
    if quick.circuit is None:
        return CircuitTold(revision=quick.revision, parts=[], nets=[], blocks=[], untold=untold)
    entries = {entry.reference: entry for entry in quick.dossier.parts}
    pins: dict[str, list[str]] = defaultdict(list)
    for part in quick.circuit.parts:
        for pin, net in part.pins.items():
            pins[net].append(f"{part.reference}.{pin}")
    nets = [
        NetTold(
            name=net,
            role="ground" if net == quick.circuit.ground else quick.circuit.rails.get(net, "signal"),
            pins=pins[net],
            parts=sorted({pin.rpartition(".")[0] for pin in pins[net]}),
        )
        for net in quick.circuit.nets
    ]
    return CircuitTold(
        revision=quick.revision,
        parts=[_part_told(part, entries.get(part.reference)) for part in quick.circuit.parts],
        nets=nets,
        blocks=[dict(block) for block in blocks] if isinstance(blocks, list) else [],
        untold=untold,
    )


def _untold(dossier: Dossier) -> list[UntoldPart]:
    from lidoff.dossier.untold import untold_parts

    return [
        UntoldPart(
            reference=one.reference,
            board=one.board,
            package=one.package,
            side=one.side,
            lands=[LandTold(land=land, net=net) for land, net in one.lands.items()],
        )
        for one in untold_parts(dossier.parts, dossier.traced)
    ]


def _part_told(part: Part, entry: PartEntry | None) -> PartTold:
    from lidoff.circuit import kind_of
    from lidoff.quantities import Quantity, format_quantity

    kind = kind_of(part)
    values = {}
    for name, parameter in kind.parameters_of(part).items():
        typical = parameter.typical
        values[name] = PartValue(
            text=entry.values.get(name, "") if entry else "",
            title=parameter.says or name.replace("_", " "),
            unit=parameter.unit,
            typical="" if typical is None else format_quantity(Quantity(typical, parameter.unit or "1")),
        )
    return PartTold(
        reference=part.reference,
        kind=part.kind,
        kind_title=kind.title,
        pins=dict(part.pins),
        pin_titles={pin: part.pin_names.get(pin, pin) for pin in part.pins},
        value=_main_value(part),
        values=values,
        does=part.does,
        board=entry.board if entry else "",
        marking=part.marking,
        package=part.package,
    )


def _main_value(part: Part) -> str:
    """Value or marking as a drawing has it, else the main value as told, which a drawing leaves out, such as a gain."""
    from lidoff.circuit import kind_of
    from lidoff.schematic.text import engineering, value_text

    kind = kind_of(part)
    told = part.values.get(kind.main_value)
    drawn = value_text(part)
    if drawn or told is None:
        return drawn
    unit = kind.parameters_of(part)[kind.main_value].unit
    said = told if isinstance(told, str) else engineering(float(told), "" if unit == "1" else unit).strip()
    return said if unit not in ("", "1") else f"{kind.main_value.replace('_', ' ')} {said}"
