"""The circuit as a page asks for it: parts with the texts of their values, nets with what hangs on them."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from pydantic import JsonValue

from lidoff.bench.models import Closed
from lidoff.bench.quick import Quick

if TYPE_CHECKING:
    from lidoff.circuit import Part
    from lidoff.dossier import PartEntry

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


class CircuitTold(Closed):
    """The circuit at one revision."""

    revision: int
    parts: list[PartTold]
    nets: list[NetTold]
    blocks: list[dict[str, JsonValue]]


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
    if quick is None or quick.circuit is None or quick.dossier is None:
        return CircuitTold(revision=-1 if quick is None else quick.revision, parts=[], nets=[], blocks=[])
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
    )


def _part_told(part: Part, entry: PartEntry | None) -> PartTold:
    from lidoff.circuit import kind_of
    from lidoff.quantities import Quantity, format_quantity
    from lidoff.schematic.text import value_text

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
        value=value_text(part),
        values=values,
        does=part.does,
        board=entry.board if entry else "",
        marking=part.marking,
        package=part.package,
    )
