from __future__ import annotations

from collections.abc import Mapping

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import lambertw

from benchmarks.plausible import plausible_circuit, resistive_sheet
from lidoff.circuit import Circuit, Part, Situation, operating_point
from lidoff.circuit.solve import homotopy, newton
from lidoff.errors import CircuitFault, NetsUnsettled, UnknownName
from tests.circuit.build import circuit, diode, led, npn, resistor, supply, zener

THERMAL = 0.02569257912108585  # k·T/q [V] at 25 °C, CODATA 2018


def test_diode_behind_a_resistor_follows_lambert() -> None:
    i_s, n, ohms, volts = 1e-12, 1.5, 220.0, 5.0
    n_vt = n * THERMAL
    expected = n_vt / ohms * lambertw(i_s * ohms / n_vt * np.exp((volts + i_s * ohms) / n_vt)).real - i_s
    found = operating_point(
        circuit(
            supply("V", "a", volts),
            resistor("R", "a", "k", ohms),
            diode("D", "k", "gnd", saturation_current=i_s, emission=n, series_resistance=0.0),
        )
    )
    assert found.current("D")[0] == pytest.approx(expected, rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6), nodes=st.integers(3, 12))
def test_resistance_between_nets_is_networkx_resistance_distance(seed: int, nodes: int) -> None:
    rng = np.random.default_rng(seed)
    graph = nx.random_labeled_tree(nodes, seed=seed)
    graph.add_edges_from((int(a), int(b)) for a, b in rng.integers(0, nodes, (nodes, 2)) if a != b)
    parts: list[Part] = []
    for number, (one, other) in enumerate(sorted(graph.edges)):
        ohms = float(10.0 ** rng.uniform(0, 4))
        graph[one][other]["weight"] = ohms
        parts.append(resistor(f"R{number}", f"n{one}", f"n{other}", ohms))
    drive = Part(
        reference="I", kind="current_supply", pins={"plus": "n1", "minus": "n0"}, values={"current": 1.0}
    )
    found = operating_point(Circuit(parts=(*parts, drive), ground="n0"))
    expected = nx.resistance_distance(graph, 0, 1, weight="weight", invert_weight=True)
    assert found.voltage("n1")[0] == pytest.approx(expected, rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_resistive_networks_are_reciprocal(seed: int) -> None:
    rng = np.random.default_rng(seed)
    names = [f"n{k}" for k in range(7)]
    parts = [
        resistor(f"R{k}", str(one), str(other), float(rng.uniform(10, 1e4)))
        for k in range(14)
        for one, other in [rng.choice(names, 2, replace=False)]
    ]
    parts.extend(resistor(f"G{k}", name, "gnd", 1e5) for k, name in enumerate(names))

    def pushed(into: str) -> Part:
        pins = {"plus": into, "minus": "gnd"}
        return Part(reference="I", kind="current_supply", pins=pins, values={"current": 1e-3})

    there = operating_point(circuit(*parts, pushed("n1"))).voltage("n2")[0]
    back = operating_point(circuit(*parts, pushed("n2"))).voltage("n1")[0]
    assert there == pytest.approx(back, rel=1e-7, abs=1e-12)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_powers_of_a_plausible_circuit_sum_to_zero(seed: int) -> None:
    made = plausible_circuit(seed)
    found = operating_point(made)
    assert found.settled.all()
    powers = np.array([found.power(part.reference)[0] for part in made.parts])
    assert np.isfinite(powers).all()
    assert abs(powers.sum()) <= 1e-6 * np.abs(powers).sum() + 1e-9


@settings(max_examples=25, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_currents_into_every_net_sum_to_zero(seed: int) -> None:
    made = plausible_circuit(seed)
    found = operating_point(made)
    for net, pins in made.nets.items():
        currents = np.array([found.pin_current(pin.reference, pin.pin)[0] for pin in pins])
        # the solver's leak to the reference, 1 pS a net, is all that may be missing
        assert abs(currents.sum()) <= 1e-9 * np.abs(currents).sum() + 1e-10, net


@settings(max_examples=15, deadline=None)
@given(seed=st.integers(0, 10**6))
def test_renamed_nets_and_shuffled_parts_change_no_voltage(seed: int) -> None:
    made = plausible_circuit(seed, pieces=4)
    rng = np.random.default_rng(seed)
    renamed = {net: f"x{k}" for k, net in enumerate(rng.permutation(list(made.nets)))}
    renamed["gnd"] = "gnd"
    parts = [
        Part(
            reference=part.reference,
            kind=part.kind,
            pins={pin: renamed[net] for pin, net in part.pins.items()},
            values=part.values,
        )
        for part in made.parts
    ]
    rng.shuffle(parts)
    if any(part.kind == "npn" for part in parts) and "latch_1" in made.nets:
        return  # a latch has more than one operating point; which is found may depend on the order
    before, after = operating_point(made), operating_point(Circuit(parts=tuple(parts)))
    for net in made.nets:
        assert after.voltage(renamed[net])[0] == pytest.approx(before.voltage(net)[0], rel=1e-6, abs=1e-6)


def test_doubled_sources_double_a_linear_circuit() -> None:
    sheet = resistive_sheet(4, 5)
    once = operating_point(sheet)
    twice = operating_point(sheet.with_parts([supply("V1", "n3_4", 10.0)]))
    for net in sheet.nets:
        assert twice.voltage(net)[0] == pytest.approx(2.0 * once.voltage(net)[0], rel=1e-9)


def test_sparse_and_dense_solvers_agree(monkeypatch: pytest.MonkeyPatch) -> None:
    made = plausible_circuit(3, pieces=8)
    dense = operating_point(made)
    monkeypatch.setattr(newton, "DENSE_SIZE", 1)
    sparse = operating_point(made)
    assert sparse.settled.all()
    assert sparse.outcome.unknowns == pytest.approx(dense.outcome.unknowns, rel=1e-6, abs=1e-6)


def test_a_batch_equals_its_rows_one_by_one() -> None:
    made = plausible_circuit(11, pieces=5)
    volts = np.linspace(0.5, 12.0, 23)
    together = operating_point(made, variations={("V1", "voltage"): volts})
    for row, value in enumerate(volts):
        alone = operating_point(made, variations={("V1", "voltage"): np.array([value])})
        assert alone.outcome.unknowns[0] == pytest.approx(together.outcome.unknowns[row], rel=1e-6, abs=1e-7)


def test_large_batches_are_cut_into_chunks_without_a_seam() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "k", 100.0), led("D", "k", "gnd"))
    volts = np.linspace(0.0, 10.0, 30_001)
    found = operating_point(made, variations={("V", "voltage"): volts})
    assert found.settled.all()
    current = found.current("D")
    assert (np.diff(current) >= 0.0).all()
    assert np.abs(np.diff(current, 2)).max() < 1e-5


def test_every_situation_is_one_sample() -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "gnd", 100.0))
    found = operating_point(
        made,
        situations=(
            Situation(name="plugged in"),
            Situation(name="unplugged", settings={"V": {"connected": "disconnected"}}),
        ),
    )
    assert found.at("plugged in").current("R") == pytest.approx(0.05)
    assert found.at("unplugged").current("R") == pytest.approx(0.0, abs=1e-9)


def test_a_net_behind_an_open_switch_is_undetermined() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        Part(reference="S", kind="switch", pins={"1": "a", "2": "b"}, values={"state": "open"}),
        Part(reference="P", kind="test_point", pins={"1": "b"}),
        resistor("R", "a", "gnd", 1e3),
    )
    assert "b" in operating_point(made).undetermined[0]
    closed = operating_point(made, situations=(Situation(name="on", settings={"S": {"state": "closed"}}),))
    assert closed.undetermined[0] == frozenset()
    assert closed.voltage("b")[0] == pytest.approx(5.0)


def test_what_a_branch_that_ends_nowhere_carries_lies_below_the_leakage() -> None:
    found = operating_point(
        circuit(
            supply("V1", "rail", 5.0),
            resistor("R1", "rail", "anode", 330.0),
            led("LED1", "anode", "end"),
            resistor("R2", "rail", "gnd", 1e9),
        )
    ).at(0)
    assert abs(found.current("LED1")) < found.leakage < 1e-10
    assert abs(found.current("R1")) < found.leakage
    assert found.current("R2") > found.leakage


def test_a_floating_gate_is_undetermined() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R", "a", "d", 1e3),
        Part(reference="Q", kind="mosfet_n", pins={"gate": "g", "drain": "d", "source": "gnd"}),
    )
    assert operating_point(made).undetermined[0] == frozenset({"g"})


def test_a_box_ties_only_the_pins_at_which_it_draws() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R", "a", "d", 1e3),
        Part(reference="Q", kind="mosfet_n", pins={"gate": "g", "drain": "d", "source": "gnd"}),
        Part(
            reference="U",
            kind="box",
            pins={"vdd": "a", "vss": "gnd", "out": "g"},
            pin_roles={"vdd": "supply", "vss": "ground", "out": "output"},
        ),
    )
    drawing = Situation(name="drawing", settings={"U": {"current_out": 1e-6}})
    found = operating_point(made, situations=(Situation(name="as told"), drawing))
    assert found.undetermined == (frozenset({"g"}), frozenset())


def test_two_sources_on_one_net_are_refused_by_name() -> None:
    made = circuit(supply("V1", "a", 5.0), supply("V2", "a", 6.0), resistor("R", "a", "gnd", 1e3))
    with pytest.raises(CircuitFault, match=r"V1, V2 form a loop without any resistance"):
        operating_point(made)


def test_a_setting_of_an_unknown_part_names_the_nearest() -> None:
    made = circuit(supply("V1", "a", 5.0), resistor("R1", "a", "gnd", 1e3))
    with pytest.raises(UnknownName, match=r"situation 'x' sets 'V2', which is not a part"):
        operating_point(made, situations=(Situation(name="x", settings={"V2": {"voltage": 1.0}}),))


def test_a_sample_that_does_not_settle_is_named_and_spares_the_others(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    made = circuit(supply("V", "a", 5.0), resistor("R", "a", "k", 100.0), led("D", "k", "gnd"))
    impatient = (("Newton's method", lambda equations, start: newton.newton(equations, start, most_steps=2)),)
    monkeypatch.setattr(homotopy, "METHODS", impatient)
    found = operating_point(made, variations={("V", "voltage"): np.array([0.0, 5.0])})
    assert found.settled.tolist() == [True, False]
    with pytest.raises(
        NetsUnsettled, match=r"no operating point in 'as it stands 2': k would not settle"
    ) as caught:
        found.at(1)
    assert caught.value.nets == ("k",)
    assert caught.value.tried == ("Newton's method",)


@pytest.mark.parametrize("method", [name for name, _ in homotopy.METHODS])
def test_each_way_in_reaches_the_same_point(method: str, monkeypatch: pytest.MonkeyPatch) -> None:
    made = circuit(
        supply("V", "a", 9.0),
        resistor("R1", "a", "b", 10e3),
        resistor("R2", "b", "gnd", 4.7e3),
        resistor("R3", "a", "c", 1e3),
        npn("Q", "c", "b", "e"),
        resistor("R4", "e", "gnd", 470.0),
        zener("Z", "c", "gnd", 6.8),
    )
    expected = operating_point(made).voltage("c")[0]
    monkeypatch.setattr(homotopy, "METHODS", tuple(pair for pair in homotopy.METHODS if pair[0] == method))
    found = operating_point(made)
    assert found.settled.all()
    assert found.voltage("c")[0] == pytest.approx(expected, rel=1e-7)


def test_two_supplies_without_a_common_net_have_references_of_their_own() -> None:
    made = circuit(
        supply("V1", "a", 5.0),
        resistor("R1", "a", "gnd", 1e3),
        supply("V2", "b", 3.0, minus="other"),
        resistor("R2", "b", "other", 1e3),
    )
    found = operating_point(made)
    assert found.between("b", "other")[0] == pytest.approx(3.0)
    with pytest.raises(UnknownName, match="islands that nothing joins"):
        found.between("a", "b")


def test_latch_settles_in_one_of_its_states() -> None:
    made = circuit(
        supply("V", "a", 5.0),
        resistor("R1", "a", "c1", 1e3),
        resistor("R2", "a", "c2", 1e3),
        resistor("R3", "c1", "b2", 10e3),
        resistor("R4", "c2", "b1", 10e3),
        npn("Q1", "c1", "b1", "gnd"),
        npn("Q2", "c2", "b2", "gnd"),
    )
    found = operating_point(made)
    assert found.settled.all()
    assert abs(sum(found.power(part.reference)[0] for part in made.parts)) < 1e-9


@pytest.mark.parametrize("ohms", [47e3, 100e3, 220e3, 470e3, 680e3, 1e6, 2.2e6])
def test_nets_that_little_holds_and_much_joins_settle(ohms: float) -> None:
    # A dropper with its bleeder behind an open plug: the bridge's leakage alone holds live, left and drop together.
    def part(reference: str, kind: str, nets: Mapping[str, str], **values: float) -> Part:
        return Part(reference=reference, kind=kind, pins=nets, values=values)

    string = [
        part(
            f"LED{k}", "led", {"anode": f"l{k}", "cathode": f"l{k + 1}"}, forward_drop=9.0, test_current=0.03
        )
        for k in range(12)
    ]
    found = operating_point(
        circuit(
            part("J1", "ac_supply", {"plus": "live", "minus": "neutral"}, voltage=230.0, connected=0.0),
            resistor("R1", "live", "left", 22.0),
            part("C1", "film_capacitor", {"1": "left", "2": "drop"}, capacitance=680e-9),
            resistor("R2", "left", "drop", ohms),
            part(
                "BR1", "bridge_rectifier", {"ac_1": "drop", "ac_2": "neutral", "plus": "rail", "minus": "gnd"}
            ),
            part("V1", "dc_supply", {"plus": "rail", "minus": "gnd"}, voltage=323.5, resistance=7350.0),
            resistor("R4", "rail", "l0", 100.0),
            *string,
            resistor("R5", "l12", "gnd", 1.0),
        )
    )
    assert found.settled[0]
    assert found.outcome.tried == ("Newton's method",)
