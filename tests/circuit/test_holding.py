"""An operating point that the circuit leaves by itself is no state of it."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Situation, corner_frequencies, leaving, operating_point
from lidoff.insight import all_blocks

REST = Situation(name="as it stands")
SWING = ("gate_astable", "gate_pair_astable", "timer_astable", "transistor_astable")


def example(name: str) -> Circuit:
    return all_blocks()[name].example()


def left(circuit: Circuit) -> object:
    return leaving(operating_point(circuit, situations=[REST]), {0: REST}).get(0)


@pytest.mark.parametrize("name", SWING)
def test_what_swings_by_itself_leaves_its_balance(name: str) -> None:
    assert left(example(name)) is not None


@pytest.mark.parametrize("name", sorted(set(all_blocks()) - set(SWING)))
def test_everything_else_stays_at_rest(name: str) -> None:
    assert left(example(name)) is None


def test_the_time_of_growth_is_that_of_the_slowest_growing_natural_frequency() -> None:
    circuit = example("transistor_astable")
    found = leaving(operating_point(circuit, situations=[REST]), {0: REST}).get(0)
    assert found is not None
    slowest = min(one.real for one in corner_frequencies(circuit) if one.real > 0.0)
    assert 1.0 / slowest == pytest.approx(found.grows_in, rel=1e-6)
    assert {"c_1", "c_2"} == set(found.nets[:2])


def test_samples_looked_at_together_are_told_as_each_alone() -> None:
    circuit = example("transistor_astable")
    feed = next(part.reference for part in circuit.parts if part.kind == "dc_supply")
    situations = [
        Situation(name="off", settings={feed: {"voltage": 0.0}}),
        REST,
        Situation(name="low", settings={feed: {"voltage": 3.0}}),
    ]
    solution = operating_point(circuit, situations=situations)
    together = leaving(solution, dict(enumerate(situations)))
    alone = {
        number: found
        for number, one in enumerate(situations)
        if (found := leaving(operating_point(circuit, situations=[one]), {0: one}).get(0)) is not None
    }
    assert set(together) == set(alone) == {1, 2}
    for number, found in together.items():
        assert found.grows_in == pytest.approx(alone[number].grows_in, rel=1e-6)
        assert found.nets == alone[number].nets
