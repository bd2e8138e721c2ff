"""How contacts stand in a situation, for drawings that bear its numbers."""

from __future__ import annotations

import math
from collections.abc import Mapping

from lidoff.circuit import Circuit, Part, Situation, kind_of, touched

__all__ = ["contacts_standing"]


def contacts_standing(
    circuit: Circuit, situation: Situation, voltages: Mapping[str, float]
) -> dict[str, str]:
    """Pin that each moving contact touches in a situation.

    Parameters
    ----------
    circuit : Circuit
    situation : Situation
    voltages : mapping of str to float
        By net, for relays that their coils move; those not known leave a relay at rest [V].

    Returns
    -------
    dict of str to str
        By reference, empty for a contact that touches none.
    """
    return {
        part.reference: touched(part, situation.settings.get(part.reference), _across_path(part, voltages))
        for part in circuit.parts
        if kind_of(part).outline.moved
    }


def _across_path(part: Part, voltages: Mapping[str, float]) -> float:
    first, second = (voltages.get(part.pins.get(pin, ""), math.nan) for pin in kind_of(part).path)
    return first - second
