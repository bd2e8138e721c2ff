"""Every kind of economy finds itself in its own example, and stays silent where the textbook's part stands."""

from __future__ import annotations

import pytest

from lidoff.circuit import Circuit, Part, check_pins
from lidoff.insight import (
    Economy,
    EconomyKind,
    Load,
    all_economies,
    economies_of,
    recognise,
    stock_of,
    survey_of,
)
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.quantities import Quantity

KINDS = list(all_economies().values())


def named(kind: EconomyKind) -> str:
    return kind.name


def found(circuit: Circuit, kind: EconomyKind | None = None) -> tuple[Economy, ...]:
    loads = kind.loads if kind else ()
    return economies_of(survey_of(circuit, recognise(circuit), loads=loads))


def kinds_in(circuit: Circuit) -> set[str]:
    return {one.kind for one in found(circuit)}


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_the_example_shows_it(kind: EconomyKind) -> None:
    assert check_pins(kind.example()) == ()
    assert kind.name in {one.kind for one in found(kind.example(), kind)}


@pytest.mark.parametrize("kind", KINDS, ids=named)
def test_it_says_what_follows_and_why_it_may_have_been_done(kind: EconomyKind) -> None:
    one = next(one for one in found(kind.example(), kind) if one.kind == kind.name)
    references = {part.reference for part in kind.example().parts}
    assert one.title == kind.title
    assert one.what
    assert one.consequence
    assert one.why
    assert one.source
    assert set(one.parts) <= references


def whole() -> Circuit:
    """A motor drive that spares nothing."""
    return sketch(
        "",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("D1", "schottky", "low vbat"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("R1", "resistor", "drive gate", resistance=100.0),
        piece("R2", "resistor", "gate gnd", resistance=100e3),
        piece("C1", "capacitor", "vbat gnd", capacitance=1e-6),
        chip("U1", supply="supply vbat", ground="ground gnd", drive="output drive", key="input key"),
        piece("S1", "button", "key gnd"),
        piece("R3", "resistor", "vbat key", resistance=10e3),
    )


def test_nothing_is_missed_where_every_part_stands() -> None:
    assert set() == kinds_in(whole())


@pytest.mark.parametrize(
    ("left_out", "kind"),
    [("D1", "no_flyback_diode"), ("R2", "no_gate_pull"), ("C1", "no_decoupling"), ("R3", "no_button_parts")],
)
def test_one_part_left_out_is_told_and_nothing_else(left_out: str, kind: str) -> None:
    circuit = whole()
    poorer = sketch("", *(part for part in circuit.parts if part.reference != left_out))
    assert {kind} == kinds_in(poorer)


def test_stock_counts_equal_parts_as_one_line() -> None:
    stock = stock_of(
        sketch(
            "",
            piece("J1", "dc_supply", "v gnd", voltage=5.0),
            piece("W1", "wire", "v w"),
            piece("R1", "resistor", "w a", resistance=1000.0),
            piece("R2", "resistor", "w b", resistance=1001.0),
            piece("R3", "resistor", "w c", resistance=2200.0),
            piece("TP1", "test_point", "c"),
        )
    )
    assert "3 parts on 2 lines of stock" == str(stock)
    assert ("R1", "R2") == stock.lines[0].references
    assert "1 kΩ" == stock.lines[0].value


def test_a_load_beyond_its_limit_is_not_told_as_usual() -> None:
    kind = all_economies()["undersized"]
    [one] = [one for one in found(kind.example(), kind) if one.kind == "undersized"]
    assert "R1" in one.what
    assert "90 %" in one.what
    assert ("R1",) == one.parts


def test_a_line_of_stock_that_was_told_joins_its_parts() -> None:
    circuit = sketch(
        "",
        piece("R1", "resistor", "a b", resistance=1000.0),
        piece("R2", "resistor", "b c", resistance=1200.0),
        piece("R3", "resistor", "c d", resistance=1000.0),
    )
    assert 2 == len(stock_of(circuit).lines)
    assert [("R1", "R2"), ("R3",)] == [
        line.references
        for line in stock_of(circuit, {"R1": "any 0603 near 1 kΩ", "R2": "any 0603 near 1 kΩ"}).lines
    ]


def test_a_transistor_that_holds_a_current_steady_needs_no_flyback_diode() -> None:
    circuit = sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=10.0),
        piece("R1", "resistor", "v wanted", resistance=9e3),
        piece("R2", "resistor", "wanted gnd", resistance=1e3),
        piece("U1", "operational_amplifier", "wanted felt gate v gnd"),
        piece("Q1", "mosfet_n", "gate load felt"),
        piece("R3", "resistor", "felt gnd", resistance=10.0),
        piece("M1", "motor", "v load"),
    )
    assert "no_flyback_diode" not in kinds_in(circuit)


def test_a_low_alternating_voltage_is_no_mains() -> None:
    def supply(volts: float) -> Circuit:
        return sketch(
            "",
            piece("J1", "ac_supply", "a b", voltage=volts),
            piece("D1", "bridge_rectifier", "a b high gnd"),
            piece("C1", "electrolytic_capacitor", "high gnd", capacitance=1e-3),
        )

    assert "no_mains_fuse" in kinds_in(supply(230.0))
    assert "no_mains_fuse" not in kinds_in(supply(12.0))


def with_load(watts: float, uncertainty: float) -> tuple[Economy, ...]:
    """Economies of a resistor of 1 W with a load and its standard uncertainty."""
    circuit = sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=5.0),
        piece("R1", "resistor", "v gnd", resistance=1e3, power_rating=1.0),
    )
    load = Load(
        reference="R1",
        rating="power_rating",
        load=Quantity(watts, "W", uncertainty),
        limit=Quantity(1.0, "W"),
    )
    everything = economies_of(survey_of(circuit, recognise(circuit), loads=[load]))
    return tuple(one for one in everything if one.kind == "oversized")


def test_a_part_that_could_stand_far_more_is_told_with_the_uncertainty_of_its_load() -> None:
    [one] = with_load(0.05, 0.015)
    assert "R1: 0.05 W ± 0.03 W where it is loaded most, on a power rating of 1 W, 5 % of it" == one.what


def test_a_load_that_may_be_large_says_nothing_of_too_large_a_part() -> None:
    assert () == with_load(0.1, 0.05)


def test_a_part_that_carries_nothing_says_nothing_of_its_size() -> None:
    assert () == with_load(1e-21, 0.0)


def several(circuit: Circuit, loads: tuple[Load, ...] = (), read: tuple[str, ...] = ()) -> list[Economy]:
    """What is told of several resistors where one would do."""
    told = economies_of(survey_of(circuit, recognise(circuit), loads=loads, read=read))
    return [one for one in told if one.kind == "several_for_one"]


def in_series(*more: Part) -> Circuit:
    return sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=12.0),
        piece("R1", "resistor", "v mid", resistance=1e3),
        piece("R2", "resistor", "mid gnd", resistance=1e3),
        *more,
    )


def test_of_resistors_in_series_it_is_told_that_nothing_flows_if_one_opens() -> None:
    [one] = several(in_series())
    assert "if one of them opens, nothing flows through the others either" == one.consequence
    assert "they share the heat and the voltage" in one.why


def test_a_divider_whose_tap_has_a_test_point_is_no_pair_for_one() -> None:
    assert [] == several(in_series(piece("TP1", "test_point", "mid")))


def test_a_divider_whose_tap_is_read_is_no_pair_for_one() -> None:
    assert [] == several(in_series(), read=("mid",))


def test_two_that_one_could_not_replace_for_the_voltage_are_not_told() -> None:
    loads = tuple(
        Load(
            reference=name,
            rating="voltage_rating",
            load=Quantity(90.0, "V"),
            limit=Quantity(150.0, "V"),
            told=False,
        )
        for name in ("R1", "R2")
    )
    assert [] == several(in_series(), loads)


def dropper(*bleeders: Part) -> Circuit:
    return sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("R1", "resistor", "live a", resistance=100.0),
        piece("C1", "film_capacitor", "a b", capacitance=330e-9),
        piece("D1", "bridge_rectifier", "b neutral rail gnd"),
        piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=100e-6),
        piece("D2", "zener", "gnd rail", breakdown_voltage=12.0),
        *bleeders,
    )


IN_SERIES = (
    piece("R2", "resistor", "a m", resistance=560e3),
    piece("R3", "resistor", "m b", resistance=560e3),
)


def test_bleeders_in_series_across_a_dropper_are_seen() -> None:
    assert "no_bleeder" not in kinds_in(dropper(*IN_SERIES))
    assert "no_bleeder" in kinds_in(dropper())


def test_bleeders_in_series_are_not_told_as_two_for_one() -> None:
    assert [] == several(dropper(*IN_SERIES))


def test_the_resistor_that_may_act_as_a_fuse_stands_in_line_with_the_mains() -> None:
    [one] = [one for one in found(dropper()) if one.kind == "no_mains_fuse"]
    assert ("R1",) == one.parts


def test_a_resistor_behind_a_transformer_is_no_fuse_of_the_mains() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("T1", "transformer", "live neutral s gnd", turns_ratio=25.0),
        piece("R1", "resistor", "s gnd", resistance=150.0),
    )
    [one] = [one for one in found(circuit) if one.kind == "no_mains_fuse"]
    assert "no fuse stands between the mains and the circuit" == one.what


def test_a_load_across_the_mains_is_no_fuse_of_them() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("S1", "switch", "live a"),
        piece("R1", "resistor", "a neutral", resistance=100.0),
    )
    [one] = [one for one in found(circuit) if one.kind == "no_mains_fuse"]
    assert () == one.parts


def test_a_bleeder_across_another_capacitor_does_not_discharge_the_dropper() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live a", capacitance=680e-9),
        piece("D1", "bridge_rectifier", "a neutral rail gnd"),
        piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=10e-6),
        piece("R3", "resistor", "rail gnd", resistance=470e3),
    )
    assert "bleeder" in {block.kind for block in recognise(circuit)}
    assert "no_bleeder" in kinds_in(circuit)


def test_a_protection_chip_told_as_a_controller_is_no_economy() -> None:
    circuit = sketch(
        "",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("U1", "linear_charger", "v5 gnd plus set - -"),
        piece("R1", "resistor", "set gnd", resistance=2e3),
        piece("BT1", "cell", "plus cell_minus"),
        chip(
            "U2",
            supply="supply vdd",
            ground="ground cell_minus",
            od="output od",
            oc="output oc",
            cs="input cs",
        ),
        piece("R3", "resistor", "plus vdd", resistance=100.0),
        piece("C3", "capacitor", "vdd cell_minus", capacitance=100e-9),
        piece("Q1", "mosfet_n", "od middle cell_minus"),
        piece("Q2", "mosfet_n", "oc middle gnd"),
        piece("R4", "resistor", "cs gnd", resistance=1e3),
    )
    assert "cell_protection" in {block.kind for block in recognise(circuit)}
    assert "no_cell_protection" not in kinds_in(circuit)


def test_a_cell_told_to_have_a_protection_is_no_economy() -> None:
    circuit = all_economies()["no_cell_protection"].example()
    told = economies_of(survey_of(circuit, recognise(circuit), guarded=("BT1",)))
    assert "no_cell_protection" in kinds_in(circuit)
    assert "no_cell_protection" not in {one.kind for one in told}
