from __future__ import annotations

import networkx as nx
import numpy as np
import pytest

from lidoff.circuit import CONTINUITY, DIODE_RANGE, OHM_RANGE, Part, all_pairs, probe
from lidoff.errors import UnknownName
from tests.circuit.build import circuit, diode, led, resistor, supply


def test_resistances_between_all_pairs_are_resistance_distances() -> None:
    rng = np.random.default_rng(5)
    graph = nx.complete_graph(5)
    parts = []
    for number, (one, other) in enumerate(sorted(graph.edges)):
        ohms = float(rng.uniform(10.0, 2000.0))
        graph[one][other]["weight"] = ohms
        parts.append(resistor(f"R{number}", f"n{one}", f"n{other}", ohms))
    made = circuit(*parts, ground="n0")
    found = probe(made, all_pairs(made))
    assert found.settled.all()
    for (red, black), ohms in zip(found.pairs, found.ohms, strict=True):
        expected = nx.resistance_distance(
            graph, int(red[1]), int(black[1]), weight="weight", invert_weight=True
        )
        assert ohms == pytest.approx(expected, rel=1e-3)


def test_an_unplugged_supply_does_not_shunt_the_reading() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 470.0))
    assert probe(made, [("a", "gnd")]).ohms[0] == pytest.approx(470.0, rel=1e-3)


def test_diode_range_shows_the_drop_one_way_and_over_range_the_other() -> None:
    made = circuit(diode("D", "a", "gnd", forward_drop=0.6, test_current=1e-3))
    found = probe(made, [("a", "gnd"), ("gnd", "a")], DIODE_RANGE)
    assert found.volts[0] == pytest.approx(0.6, abs=0.005)
    assert found.over_range.tolist() == [False, True]


def test_resistance_read_through_a_junction_depends_on_the_test_current() -> None:
    made = circuit(
        diode("D", "a", "k", forward_drop=0.6, test_current=1e-3), resistor("R", "k", "gnd", 100.0)
    )
    found = probe(made, [("a", "gnd")], OHM_RANGE)
    assert found.ohms[0] > 1000.0


def test_an_led_does_not_open_on_the_low_voltage_of_the_ohm_range() -> None:
    made = circuit(led("D", "a", "gnd", forward_drop=2.0), resistor("R", "a", "gnd", 4700.0))
    assert probe(made, [("a", "gnd")]).ohms[0] == pytest.approx(4700.0, rel=1e-2)


def test_beeper_sounds_below_its_threshold_only() -> None:
    made = circuit(resistor("R1", "a", "gnd", 10.0), resistor("R2", "b", "gnd", 200.0))
    found = probe(made, [("a", "gnd"), ("b", "gnd")], CONTINUITY)
    assert found.beeps.tolist() == [True, False]


def test_nets_that_nothing_joins_are_over_range() -> None:
    made = circuit(
        resistor("R1", "a", "gnd", 10.0),
        resistor("R2", "b", "c", 10.0),
        Part(reference="P", kind="test_point", pins={"1": "b"}),
    )
    found = probe(made, [("a", "b")])
    assert found.over_range[0]
    assert np.isinf(found.ohms[0])


def test_an_unknown_net_is_refused() -> None:
    with pytest.raises(UnknownName, match="there is no net 'z'"):
        probe(circuit(resistor("R", "a", "gnd", 1.0)), [("a", "z")])
