"""Which pin the moving contact of a switch, button or relay touches."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from lidoff.circuit.kind import Element, Parameters, kind_of, settings_of
from lidoff.circuit.netlist import Part, Setting

__all__ = ["touched"]

LEAST = 1e-6  # [S] below which a contact steered by a coil counts as open


def touched(part: Part, settings: Mapping[str, Setting] | None = None, across_coil: float = 0.0) -> str:
    """Pin that the moving contact of a part touches.

    Parameters
    ----------
    part : Part
        Of any kind.
    settings : mapping of str to float or str, optional
        What a situation sets; without, as the part's own values tell.
    across_coil : float, optional
        Voltage across its coil [V]; not a number where it is not known.

    Returns
    -------
    str
        Empty where it touches none, or the part has no contact.
    """
    kind = kind_of(part)
    pairs = kind.contacts(part)
    if not pairs:
        return ""
    numbers = {name: np.array([value]) for name, value in settings_of(part, settings).items()}
    for element in kind.elements(part):
        pair = next((pair for pair in pairs if set(pair) <= set(element.joins)), None)
        if pair is not None and _conducts(element, numbers, abs(across_coil)):
            return pair[1]
    return ""


def _conducts(element: Element, numbers: Parameters, across_coil: float) -> bool:
    derived = element.derive(numbers)
    if "threshold" in derived:
        moved = across_coil >= float(derived["threshold"][0])
        return float(derived["on_conductance" if moved else "off_conductance"][0]) > LEAST
    return bool(derived["connected"][0] > 0.5)
