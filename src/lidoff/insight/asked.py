"""What a reading or a claim asks of a solved circuit, as a number of every sample."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import Solution, kind_of
from lidoff.circuit.kind import Array
from lidoff.errors import UnknownName
from lidoff.evidence import AcrossPart, InPart, IntoPin, NetVoltage, Target

__all__ = ["asked_of"]


def asked_of(target: Target) -> Callable[[Solution], Array]:
    """Function that takes the target's number out of a solution.

    Parameters
    ----------
    target : Target
        What is asked. Current and power of a part that drives the circuit count as delivered.

    Returns
    -------
    callable (Solution) → ndarray of shape (B,)
        In the target's unit.

    Raises
    ------
    UnknownName
        The target is not in the circuit.
    """
    if isinstance(target, NetVoltage):
        return lambda solution: _net_voltage(solution, target)
    if isinstance(target, AcrossPart):
        return lambda solution: solution.part_voltage(target.reference)
    if isinstance(target, IntoPin):
        return lambda solution: solution.pin_current(target.reference, target.pin)
    if isinstance(target, InPart):
        return lambda solution: _in_part(solution, target)
    raise UnknownName(
        f"the circuit does not tell the {target}", remedy="measure it, or name something in the circuit"
    )


def _net_voltage(solution: Solution, target: NetVoltage) -> Array:
    ground = solution.circuit.ground
    against = target.against or (ground if ground in solution.system.references else "")
    return solution.between(target.net, against) if against else solution.voltage(target.net)


def _in_part(solution: Solution, target: InPart) -> Array:
    taken = (
        solution.current(target.reference) if target.what == "current" else solution.power(target.reference)
    )
    return -taken if kind_of(solution.circuit.part(target.reference)).supplies else taken
