"""A short way to write a circuit down and solve it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Protocol

import pytest
from numpy.typing import ArrayLike

from lidoff.circuit import Circuit, Part, Situation, Solution, operating_point

# Reference, kind, net by pin, and values where any are told.
Row = tuple[str, str, Mapping[str, str]] | tuple[str, str, Mapping[str, str], Mapping[str, float | str]]


class Solve(Protocol):
    """Solve a circuit of rows (reference, kind, nets by pin, values), all samples settled."""

    def __call__(
        self,
        *rows: Row | Part,
        situations: Sequence[Situation] = (),
        variations: Mapping[tuple[str, str], ArrayLike] | None = None,
    ) -> Solution: ...


def _part(row: Row | Part) -> Part:
    if isinstance(row, Part):
        return row
    reference, kind, pins, *values = row
    return Part(reference=reference, kind=kind, pins=pins, values=values[0] if values else {})


@pytest.fixture
def circuit_of() -> Callable[..., Circuit]:
    """Circuit of rows, told against the net gnd."""

    def build(*rows: Row | Part) -> Circuit:
        return Circuit(parts=tuple(_part(row) for row in rows), ground="gnd")

    return build


@pytest.fixture
def solve(circuit_of: Callable[..., Circuit]) -> Solve:
    """Operating points of a circuit of rows."""

    def run(
        *rows: Row | Part,
        situations: Sequence[Situation] = (),
        variations: Mapping[tuple[str, str], ArrayLike] | None = None,
    ) -> Solution:
        solution = operating_point(circuit_of(*rows), situations=situations, variations=variations)
        assert solution.settled.all()
        return solution

    return run
