"""What stands between mains and hand: bad ways flagged, good ones not; touch current against hand sums."""

from dataclasses import replace

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Situation
from lidoff.hazards import Distance, Hazard, Subject
from lidoff.hazards.joins import dangerous_nets, joined_to, way_between
from lidoff.hazards.person import network_impedance

from .build import answers, part, subject

MAINS = part("J1", "ac_supply", {"plus": "live", "minus": "gnd"}, voltage=230.0, frequency=50.0)
LOAD = part("R1", "resistor", {"1": "live", "2": "gnd"}, resistance=1e5)
OUT = part("R9", "resistor", {"1": "out", "2": "back"}, resistance=1e3)
ANCHOR = part("R8", "resistor", {"1": "back", "2": "earth"}, resistance=1e3)


def capacitor(reference: str, first: str, second: str, marking: str = "", value: float = 2.2e-9) -> Part:
    return Part(
        reference=reference,
        kind="capacitor",
        pins={"1": first, "2": second},
        values={"capacitance": value},
        marking=marking,
    )


def reached(*parts: Part, accessible: str = "out", protection: str = "II", **more: object) -> Subject:
    looked_at = subject(MAINS, LOAD, *parts)
    return replace(looked_at, accessible=(accessible,), protection_class=protection, **more)  # type: ignore[arg-type]


def barrier(looked_at: Subject) -> Hazard:
    (found,) = answers("barrier", looked_at)
    return found


BOX = Part(
    reference="T1",
    kind="box",
    pins={"in": "live", "back": "gnd", "out": "out", "return": "back"},
    values={"current_in": 0.01},
    pin_roles={"in": "supply", "back": "ground"},
)


def test_a_box_across_the_barrier_cannot_be_told() -> None:
    (insulated, box) = answers("barrier", reached(OUT, ANCHOR, BOX))
    assert "cannot tell" == insulated.outcome
    assert ("cannot tell", "fault", ("T1",)) == (box.outcome, box.severity, box.parts)
    assert "out" not in joined_to(Circuit(parts=(MAINS, BOX, OUT)), ("live",))


def test_a_capacitor_beside_a_box_is_judged() -> None:
    found = answers("barrier", reached(OUT, ANCHOR, BOX, capacitor("CY1", "gnd", "back", "Y2")))
    assert [("CY1",), ("T1",)] == [one.parts for one in found]
    assert ["beyond the limit", "cannot tell"] == [one.outcome for one in found]


def test_a_resistance_measured_across_a_box_conducts() -> None:
    leaky = replace(BOX, values={**BOX.values, "resistance_in_out": 1e6})
    found = barrier(reached(OUT, ANCHOR, leaky))
    assert ("beyond the limit", ("T1",)) == (found.outcome, found.parts[:1])


def resistor(first: str, second: str, value: float = 1e6) -> Part:
    return part("R2", "resistor", {"1": first, "2": second}, resistance=value)


def test_a_net_behind_a_resistor_conducts_to_the_mains() -> None:
    found = barrier(
        reached(resistor("live", "out"), part("R3", "resistor", {"1": "out", "2": "gnd"}, resistance=1e4))
    )
    assert ("beyond the limit", "fault") == (found.outcome, found.severity)
    assert found.nets == ("out",)


@pytest.mark.parametrize(
    ("markings", "protection", "outcome"),
    [
        (("Y1 250V~",), "II", "within the limit"),
        (("X1Y2 Y2",), "II", "beyond the limit"),
        (("",), "II", "beyond the limit"),
        (("Y2",), "I", "within the limit"),
        (("Y2", "Y2"), "II", "within the limit"),
        (("Y2", ""), "II", "beyond the limit"),
    ],
)
def test_a_capacitor_may_bridge_the_barrier_only_by_its_class(
    markings: tuple[str, ...], protection: str, outcome: str
) -> None:
    nets = ["live", *(f"mid{number}" for number in range(len(markings) - 1)), "out"]
    chain = [
        capacitor(f"C{number}", nets[number], nets[number + 1], marking)
        for number, marking in enumerate(markings)
    ]
    looked_at = Subject(
        circuit=Circuit(parts=(MAINS, LOAD, *chain)), accessible=("out",), protection_class=protection
    )
    assert outcome == barrier(looked_at).outcome


def test_a_transformer_joins_nothing_and_asks_for_a_distance() -> None:
    coil = part(
        "T1",
        "transformer",
        {"primary_1": "live", "primary_2": "gnd", "secondary_1": "out", "secondary_2": "far"},
    )
    tie = part("R7", "resistor", {"1": "out", "2": "far"}, resistance=100.0)
    looked_at = reached(coil, tie)
    assert frozenset({"out", "far"}) == joined_to(looked_at.circuit, ("out",))
    assert way_between(looked_at.circuit, dangerous_nets(looked_at.circuit), "out") is None
    assert barrier(looked_at).outcome == "cannot tell"
    gap = Distance(name="gap", between=("live", "far"), creepage="6 mm", insulation="reinforced")
    assert barrier(replace(looked_at, distances=(gap,))).outcome == "within the limit"
    short = replace(gap, insulation="basic")
    assert "told as basic" in barrier(replace(looked_at, distances=(short,))).what


def test_class_three_is_not_fed_from_the_mains() -> None:
    found = answers("barrier", replace(subject(MAINS, LOAD), protection_class="III"))
    assert ["beyond the limit", "cannot tell"] == [one.outcome for one in found]


def test_a_device_on_low_voltage_has_no_barrier() -> None:
    low = part("V1", "dc_supply", {"plus": "live", "minus": "gnd"}, voltage=5.0)
    assert answers("barrier", replace(subject(low, LOAD), accessible=("live",))) == ()


# --- touch current


def current(looked_at: Subject) -> Hazard:
    return answers("touch current", looked_at)[-1]


@pytest.mark.parametrize(("ohms", "outcome"), [(2e6, "within the limit"), (1e4, "beyond the limit")])
def test_a_resistor_to_the_mains_passes_what_ohms_law_says(ohms: float, outcome: str) -> None:
    looked_at = reached(resistor("live", "out", ohms))
    found = current(looked_at)
    weight = 1.0 / abs(1.0 + 2j * np.pi * 50.0 * 10e3 * 22e-9)
    assert found.value is not None
    assert 230.0 / abs(ohms + network_impedance(50.0)) * weight == pytest.approx(found.value.value, rel=3e-3)
    assert outcome == found.outcome


def test_a_dangerous_touch_current_is_a_fault() -> None:
    found = current(reached(resistor("live", "out", 1e4)))
    assert ("fault", True) == (found.severity, "dangerous" in found.title)


def test_a_touch_current_within_its_spread_of_the_limit_may_be_dangerous() -> None:
    # About 4.8 mA, and a fifth more or less of it spans the 5 mA from which muscles may not let go.
    found = current(reached(resistor("live", "out", 4.7e4)))
    assert ("fault", True) == (found.severity, "may be dangerous" in found.title)


def test_a_capacitor_to_the_mains_passes_by_its_reactance() -> None:
    tie = part("R7", "resistor", {"1": "out", "2": "gnd"}, resistance=1e8)
    found = current(reached(capacitor("C1", "live", "out"), tie))
    assert found.value is not None
    assert 230.0 * 2.0 * np.pi * 50.0 * 2.2e-9 == pytest.approx(found.value.value, rel=0.01)
    assert not found.flagged


@pytest.mark.parametrize(("volts", "flagged"), [(5.0, False), (59.0, False), (90.0, True)])
def test_a_high_steady_voltage_is_flagged(volts: float, flagged: bool) -> None:
    source = part("V1", "dc_supply", {"plus": "out", "minus": "gnd"}, voltage=volts)
    found = current(replace(subject(source), accessible=("out",)))
    assert flagged is found.flagged
    assert found.value is not None
    # Through 2 kΩ of skin and body where the voltage is high enough to count, else the voltage itself.
    assert (volts / 2000.0 if flagged else volts) == pytest.approx(found.value.value, rel=1e-3)


def test_nets_beyond_the_first_few_are_said_to_be_left_out() -> None:
    rows = [
        part(f"R{number}", "resistor", {"1": "live", "2": f"n{number}"}, resistance=1e6)
        for number in range(20, 26)
    ]
    low = part("V1", "dc_supply", {"plus": "live", "minus": "gnd"}, voltage=5.0)
    load = part("R1", "resistor", {"1": "live", "2": "gnd"}, resistance=1e3)
    ties = [
        part(f"R{number}", "resistor", {"1": f"n{number - 10}", "2": "gnd"}, resistance=1e6)
        for number in range(30, 36)
    ]
    looked_at = replace(
        subject(low, load, *rows, *ties), accessible=tuple(f"n{number}" for number in range(20, 26))
    )
    *told, left = answers("touch current", looked_at)
    assert ["within the limit"] * 4 == [one.outcome for one in told]
    assert ("cannot tell", ("n24", "n25")) == (left.outcome, left.nets)


def test_nets_behind_the_same_capacitor_are_told_as_one() -> None:
    load = part("R7", "resistor", {"1": "out", "2": "far"}, resistance=100.0)
    looked_at = Subject(
        circuit=Circuit(parts=(MAINS, LOAD, capacitor("C1", "live", "out"), load)),
        accessible=("out", "far"),
        protection_class="II",
    )
    found = barrier(looked_at)
    assert ("out", "far") == found.nets
    assert "The same goes for far" in found.what


def test_a_circuit_without_its_ground_is_followed_against_the_mains_alone() -> None:
    source = part("J1", "ac_supply", {"plus": "live", "minus": "neutral"}, voltage=230.0, frequency=50.0)
    rows = [part("R1", "resistor", {"1": "live", "2": "out"}, resistance=1e6)]
    rows.append(part("R2", "resistor", {"1": "out", "2": "neutral"}, resistance=1e6))
    looked_at = replace(subject(source, *rows), accessible=("out",))
    (found,) = answers("touch current", looked_at)
    assert found.nets[1] in ("live", "neutral")


def test_an_unplugged_device_tells_nothing_of_touch_where_another_situation_is_fed() -> None:
    plug = part("J1", "dc_supply", {"plus": "out", "minus": "gnd"}, voltage=120.0)
    looked_at = replace(
        subject(
            plug,
            part("R1", "resistor", {"1": "out", "2": "gnd"}, resistance=1e4),
            situations=(
                Situation(name="unplugged", settings={"J1": {"connected": "disconnected"}}),
                Situation(name="on"),
            ),
        ),
        accessible=("out",),
    )
    (found,) = answers("touch current", looked_at)
    assert ("on",) == found.situations
    alone = replace(
        looked_at, situations={"unplugged": looked_at.situations["unplugged"]}, place={"unplugged": 0}
    )
    (found,) = answers("touch current", alone)
    assert ("unplugged",) == found.situations


def test_a_person_behind_a_megohm_takes_a_quarter_of_a_milliampere() -> None:
    looked_at = reached(
        resistor("live", "out", 1e6), replace(OUT, pins={"1": "out", "2": "gnd"}, values={"resistance": 1e9})
    )
    found = answers("touch current", looked_at)[-1]
    assert found.value is not None
    assert 0.23e-3 == pytest.approx(found.value.value, rel=0.02)  # 230 V / 1 MΩ
    assert found.outcome == "within the limit"


def test_a_chip_between_the_mains_and_a_button_conducts_beyond_its_rails() -> None:
    chip = Part(
        reference="U1",
        kind="controller",
        pins={"VDD": "supply", "GND": "gnd", "IN": "pad"},
        pin_roles={"VDD": "supply", "GND": "ground", "IN": "input"},
    )
    cell = part("B1", "dc_supply", {"plus": "supply", "minus": "gnd"}, voltage=5.0)
    found = answers("touch current", reached(chip, cell, resistor("pad", "out", 1e6)))[-1]
    assert found.value is not None
    assert 0.23e-3 == pytest.approx(found.value.value, rel=0.02)  # 230 V / 1 MΩ, not the leakage of a pin
    assert any("U1 conducting" in words for words in found.assumed)


def test_what_can_be_touched_keeps_its_name_where_a_wire_joins_it_to_another_net() -> None:
    joined = reached(
        part("R2", "resistor", {"1": "live", "2": "minus"}, resistance=1e4),
        accessible="minus",
        touched={"minus": ("shell",)},
    )
    found = barrier(joined)
    assert "shell (net minus), within reach, conducts to the mains" == found.title
    assert found.what.startswith("Shell (net minus) can be touched and is joined to the mains")
    assert ("minus",) == found.nets
    (current,) = answers("touch current", joined)
    assert "touch current from shell (net minus) dangerous" == current.title


def test_a_net_that_hangs_on_nothing_passes_next_to_nothing_through_a_person() -> None:
    shell = part("S0", "connector", {"1": "out"})
    (found,) = answers("touch current", reached(shell))
    assert "takes next to nothing as the body feels it" in found.what
    assert "within the limit" == found.outcome
    assert found.value is None
