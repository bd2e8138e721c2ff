"""Where the circuit alternates: at what an alternating supply or a pulsed pin drives."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from lidoff.circuit import Circuit, Part, Situation, kind_of
from lidoff.dossier.wiring import retarget
from lidoff.evidence import AcrossPart, Alternates, InPart, IntoPin, NetVoltage, Target
from lidoff.hazards import alternating_supplies, patterned_pins

__all__ = ["where_alternating"]


def where_alternating(
    circuit: Circuit, situations: Sequence[Situation], names: Mapping[str, str]
) -> Alternates:
    """Tell what alternates in a circuit, as far as its wiring shows.

    Parameters
    ----------
    circuit : Circuit
        The circuit.
    situations : sequence of Situation
        In which supplies may be disconnected.
    names : mapping of str to str
        Standing names of nets that wires join.

    Returns
    -------
    callable (Target, str) → bool
        Whether a target alternates in the situation of that name: the supply itself, the nets that it or a pin with a
        pattern drives, and what lies or flows in parts on those nets. Further on, behind a rectifier, the wiring alone does
        not tell, and the answer is no.
    """
    known = {one.name: one for one in situations}
    only = situations[0] if len(situations) == 1 else Situation(name="")

    def alternates(target: Target, situation: str) -> bool:
        return _alternates(circuit, known.get(situation, only), retarget(target, names))

    return alternates


def _alternates(circuit: Circuit, situation: Situation, target: Target) -> bool:
    driven = {
        net
        for part in alternating_supplies(circuit, situation)
        for net in part.pins.values()
        if net != circuit.ground
    }
    driven |= {part.pins[pin] for part in circuit.parts for pin in patterned_pins(part, situation)}
    if isinstance(target, NetVoltage):
        return bool(driven & {target.net, target.against})
    if not isinstance(target, AcrossPart | InPart | IntoPin):
        return False
    part = next((part for part in circuit.parts if part.reference == target.reference), None)
    if part is None:
        return False
    return bool(
        driven & (_path_nets(part) if not isinstance(target, IntoPin) else {part.pins.get(target.pin, "")})
    )


def _path_nets(part: Part) -> set[str]:
    """Nets at the ends of a part's main path: a relay's contacts may lie elsewhere."""
    ends = kind_of(part).path or tuple(part.pins)
    return {part.pins[pin] for pin in ends if pin in part.pins}
