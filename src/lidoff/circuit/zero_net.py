"""Which net voltages are told against, also before one is named for it."""

from __future__ import annotations

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Circuit

__all__ = ["zero_nets"]


def zero_nets(circuit: Circuit) -> tuple[str, ...]:
    """Nets that voltages are told against, the one that goes first in front.

    Parameters
    ----------
    circuit : Circuit
        Need not be solvable.

    Returns
    -------
    tuple of str
        The named ground, nets said to be one, then the minus of each supply: a meter's black lead goes there. Of several, a
        net that is no other supply's plus goes first, as the lower end of cells in series, then the one with most pins.
    """
    nets = circuit.nets
    if circuit.ground in nets:
        return (circuit.ground,)
    said = [net for net, role in circuit.rails.items() if role == "ground" and net in nets]
    paths = [
        (part, kind_of(part).path)
        for part in circuit.parts
        if kind_of(part).supplies and len(kind_of(part).path) == 2
    ]
    plus = {part.pins[path[0]] for part, path in paths if path[0] in part.pins}
    minus = {part.pins[path[1]] for part, path in paths if path[1] in part.pins} - {*said}
    return (*said, *sorted(minus, key=lambda net: (net in plus, -len(nets[net]), net)))
