from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.plausible import plausible_circuit
from lidoff.circuit import operating_point
from lidoff.circuit.solve import newton
from lidoff.circuit.solve.assemble import assemble, table_of
from lidoff.circuit.solve.reduce import reduced
from tests.circuit.build import circuit, led, resistor, supply


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_eliminating_linear_unknowns_changes_no_result(seed: int) -> None:
    made = plausible_circuit(seed, pieces=4)
    if any(net.startswith("latch") for net in made.nets):
        return  # a latch may be found in either state
    volts = np.linspace(1.0, 9.0, 40)
    together = operating_point(made, variations={("V1", "voltage"): volts})
    for row in (0, 17, 39):  # single samples are solved whole
        alone = operating_point(made, variations={("V1", "voltage"): volts[row : row + 1]})
        assert together.outcome.unknowns[row] == pytest.approx(alone.outcome.unknowns[0], rel=1e-6, abs=1e-7)


def test_only_touched_nets_are_kept() -> None:
    ladder = [resistor(f"R{k}", f"n{k}", f"n{k + 1}", 100.0) for k in range(9)]
    made = circuit(supply("V", "n0", 5.0, ohms=1.0), *ladder, led("D", "n9", "gnd"))
    system = assemble(made)
    table = table_of(made, {("V", "voltage"): np.linspace(1.0, 5.0, 20)})
    equations = newton.equations_of(system, table, slice(None), 20)
    found = reduced(system, equations.base, equations.constant, 20)
    assert found is not None
    assert found.system.variables == ("n9",)


def test_small_batches_are_left_whole() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "k", 100.0), led("D", "k", "gnd"))
    system = assemble(made)
    equations = newton.equations_of(system, table_of(made), slice(None), 1)
    assert reduced(system, equations.base, equations.constant, 1) is None
