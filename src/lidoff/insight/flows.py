"""Where the current goes: directed flows between nets, element by element, and the widest way of the current round a loop."""

from __future__ import annotations

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit import Part, Solution
from lidoff.circuit.path import has_path, path_of
from lidoff.circuit.solve.currents import group_ports

__all__ = ["Flow", "flows_of", "loop_of", "loop_through"]

LEAST_FLOW = 1e-9
"""Current below which an element counts as carrying nothing [A]; leakage of a small-signal diode is of this order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flow:
    """Current through one element of a part, the way it runs.

    Attributes
    ----------
    reference : str
        The part.
    start, end : str
        Net, or node inside the part, where it enters and leaves.
    current : float
        Above zero [A].
    """

    reference: str
    start: str
    end: str
    current: float


def flows_of(solution: Solution, sample: int) -> tuple[Flow, ...]:
    """Current through every element of every part, directed the way it runs.

    Parameters
    ----------
    solution : Solution
        Settled in that sample.
    sample : int
        Which sample.

    Returns
    -------
    tuple of Flow
        Those above a nanoampere; a response with more than two ends is split in proportion to its ends' weights.
    """
    system = solution.system
    x = np.append(solution.outcome.unknowns[sample], 0.0)[None, :]
    found: list[Flow] = []
    for group in (*system.linear, *system.curved):
        parameters = {
            name: values if len(values) == 1 else values[sample : sample + 1]
            for name, values in group.parameters(solution.table, slice(None)).items()
        }
        parameters["time"] = np.zeros((1, 1))
        values = group.law.respond(group_ports(group, system, x), parameters).values
        for row, response in zip(group.law.rows, values, strict=True):
            for number, placed in enumerate(group.placed):
                place = dict(zip(group.law.variables, placed.variables, strict=True))
                current = float(response[0, min(number, response.shape[1] - 1)])
                ends = {
                    place[name]: weight * current
                    for name, weight in row.items()
                    if name in group.law.terminals
                }
                found.extend(_split(placed.part.reference, ends))
    return tuple(found)


def _split(reference: str, ends: Mapping[str, float]) -> list[Flow]:
    """Flows from the ends where current enters to those where it leaves."""
    entering = {node: current for node, current in ends.items() if current > LEAST_FLOW}
    leaving = {node: -current for node, current in ends.items() if current < -LEAST_FLOW}
    total = sum(leaving.values())
    return [
        Flow(reference=reference, start=start, end=end, current=into * out / total)
        for start, into in entering.items()
        for end, out in leaving.items()
        if into * out / total > LEAST_FLOW
    ]


def loop_through(flows: Sequence[Flow], first: Flow) -> tuple[Flow, ...]:
    """Loop of flows through one of them along the widest way back: the one whose narrowest flow is largest.

    Parameters
    ----------
    flows : sequence of Flow
        Of one sample.
    first : Flow
        Where the loop begins.

    Returns
    -------
    tuple of Flow
        Beginning with `first`; empty where no way leads back, which Kirchhoff's current law allows only below the least flow.

    References
    ----------
    .. [1] M. Pollack, "The maximum capacity through a network", Operations Research 8(5), 733-736, 1960.
    """
    leaving: dict[str, list[Flow]] = {}
    for flow in flows:
        leaving.setdefault(flow.start, []).append(flow)
    widest = {first.end: np.inf}
    came_by: dict[str, Flow] = {}
    queue = [(-np.inf, first.end)]
    done: set[str] = set()
    while queue:
        _, node = heapq.heappop(queue)
        if node in done:
            continue
        done.add(node)
        if node == first.start:
            break
        for flow in leaving.get(node, ()):
            width = min(widest[node], flow.current)
            if width > widest.get(flow.end, 0.0):
                widest[flow.end] = width
                came_by[flow.end] = flow
                heapq.heappush(queue, (-width, flow.end))
    if first.start not in came_by:
        return ()
    back: list[Flow] = []
    node = first.start
    while node != first.end:
        back.append(came_by[node])
        node = came_by[node].start
    return (first, *reversed(back))


def loop_of(flows: Sequence[Flow], part: Part) -> tuple[Flow, ...]:
    """Loop that a part's main current runs round.

    Parameters
    ----------
    flows : sequence of Flow
        Of one sample.
    part : Part
        Of the same circuit.

    Returns
    -------
    tuple of Flow
        Through the part's strongest flow, that of its main path where it has one; empty where it carries no current.
    """
    own = [flow for flow in flows if flow.reference == part.reference]
    if has_path(part):
        nets = {part.pins[pin] for pin in path_of(part)}
        own = [flow for flow in own if flow.start in nets or flow.end in nets] or own
    if not own:
        return ()
    return loop_through(flows, max(own, key=lambda flow: flow.current))
