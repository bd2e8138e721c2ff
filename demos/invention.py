"""What a demo's readings are made from: hidden values, seed, and what the circuit does not tell."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from lidoff.circuit import Circuit, Situation

__all__ = ["Invention", "nothing_else"]


def nothing_else(circuit: Circuit, situations: Mapping[str, Situation]) -> Mapping[str, float]:  # noqa: ARG001
    """Quantities of a demo whose readings all lie in the circuit: none."""
    return {}


@dataclass(frozen=True, slots=True, kw_only=True)
class Invention:
    """One demo's truth.

    Attributes
    ----------
    dossier : str
        Name of the demo's folder.
    seed : str
        From which all instrument errors follow.
    values : mapping of (str, str) to float
        By reference and parameter: the hidden value in SI units, in every situation.
    settings : mapping of str to mapping of (str, str) to float
        By situation: hidden values that hold there only.
    rewired : mapping of (str, str) to str
        By reference and pin: the net that it is truly on, where the dossier is wrong.
    quantities : callable (circuit, situations) → mapping of str to float
        True value of each reading that the operating point does not tell, by the reading's name, in kept units; gets the
        true circuit and its situations by name.
    scatter : mapping of str to float
        By reading: standard deviation from repeat to repeat, as a share of the value.
    """

    dossier: str
    seed: str
    values: Mapping[tuple[str, str], float]
    settings: Mapping[str, Mapping[tuple[str, str], float]] = field(default_factory=dict)
    rewired: Mapping[tuple[str, str], str] = field(default_factory=dict)
    quantities: Callable[[Circuit, Mapping[str, Situation]], Mapping[str, float]] = nothing_else
    scatter: Mapping[str, float] = field(default_factory=dict)
