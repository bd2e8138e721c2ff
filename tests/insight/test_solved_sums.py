"""Sums take solved numbers with their uncertainty, and none that is only what solving leaves of zero."""

from __future__ import annotations

import math

import pytest

from lidoff.circuit import (
    Circuit,
    Part,
    Situation,
    Spread,
    figures,
    operating_point,
    periodic_steady_state,
    predict_spread,
)
from lidoff.insight import Block, Sum, recognise
from lidoff.insight.formula import worked
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.solved import Caused, solved_quantity, together
from lidoff.quantities import Quantity

ON = Situation(name="on")
BLOCK_OF_AC = "solved is the moment at rest, when the sources that change with time are at their start"


def spread(part: Part, **half_widths: float) -> Part:
    """The part with limits of each parameter as a share of it; all its others exact."""
    exact = {
        name: Spread(half_width=0.0) for name in ("resistance", "forward_drop", "voltage", "slope_resistance")
    }
    return Part(
        reference=part.reference,
        kind=part.kind,
        pins=part.pins,
        values=part.values,
        spreads={
            **exact,
            **{name: Spread(half_width=width, relative=True) for name, width in half_widths.items()},
        },
    )


def blocks_of(circuit: Circuit) -> tuple[Block, ...]:
    solution = operating_point(circuit, situations=[ON])
    return recognise(circuit, solution, spreading=predict_spread(circuit, [ON]))


def sum_of(blocks: tuple[Block, ...], says: str) -> Sum:
    return next(one for block in blocks for one in block.sums if one.says.startswith(says))


def lamp(resistance: float = 100.0) -> Circuit:
    return sketch(
        "",
        spread(piece("V1", "dc_supply", "v gnd", voltage=5.0, resistance=0.0), voltage=0.1),
        spread(piece("R1", "resistor", "v a", resistance=resistance), resistance=0.01),
        spread(piece("D1", "led", "a gnd", forward_drop=2.0)),
    )


def test_a_sum_carries_the_uncertainty_of_the_supply_that_was_solved() -> None:
    current = sum_of(blocks_of(lamp()), "LED current").result
    # limits of 10 % of 5 V over 100 Ω, and of 1 % of 30 mA
    assert math.hypot(0.5 / 100.0, 0.01 * 0.03) / 3**0.5 == pytest.approx(current.uncertainty, rel=1e-3)


def test_the_solved_number_beside_it_has_its_spread_too() -> None:
    [near] = sum_of(blocks_of(lamp()), "LED current").beside
    assert 0.5 / 100.0 / 3**0.5 == pytest.approx(near.quantity.uncertainty, rel=0.1)


def test_what_voltage_and_current_owe_to_one_supply_is_added_before_it_is_squared() -> None:
    volts = Caused(10.0, "V", 0.1, causes={("V1", "voltage"): 0.1})
    amperes = Caused(2.0, "A", 0.02, causes={("V1", "voltage"): 0.02})
    power = worked("power", "V · I", "W", "", V=volts, I=amperes)
    assert isinstance(power, Sum)
    assert 2.0 * 0.1 + 10.0 * 0.02 == pytest.approx(power.result.uncertainty)


def test_a_ratio_of_two_numbers_of_one_cause_has_no_uncertainty() -> None:
    volts = Caused(10.0, "V", 0.1, causes={("V1", "voltage"): 0.1})
    amperes = Caused(2.0, "A", 0.02, causes={("V1", "voltage"): 0.02})
    ohms = worked("resistance", "V ÷ I", "Ω", "", V=volts, I=amperes)
    assert isinstance(ohms, Sum)
    assert 0.0 == pytest.approx(ohms.result.uncertainty, abs=1e-9)


def test_independent_numbers_add_in_squares() -> None:
    whole = together([Caused(1.0, "V", 0.3, causes={("R1", "a"): 0.3}), Quantity(1.0, "V", 0.4)])
    assert 0.5 == pytest.approx(whole.uncertainty)


def test_what_solving_leaves_of_zero_is_zero() -> None:
    circuit = sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=9.0),
        piece("R1", "resistor", "v a", resistance=47.0),
        piece("D1", "led", "gnd a"),
    )
    solution = operating_point(circuit, situations=[ON])
    current = solved_quantity(solution, predict_spread(circuit, [ON]), lambda one: one.current("D1"), 0, "A")
    assert current.value == 0.0
    assert current.is_nothing


def test_sums_of_a_part_that_is_off_are_left_out_in_one_line() -> None:
    circuit = sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=12.0),
        piece("V2", "pulse_supply", "drive gnd", high=5.0, low=0.0, width=2e-3, period=4e-3),
        piece("R1", "resistor", "drive base", resistance=2.2e3),
        piece("Q1", "npn", "c base gnd"),
        piece("R2", "resistor", "v c", resistance=180.0),
    )
    [block] = [one for one in blocks_of(circuit) if one.kind == "bipolar_low_side"]
    assert () == block.sums
    assert [
        "base current; collector current for each unit of base current; largest collector current that the gain allows: left "
        f"out, since Q1 carries no current in any solved situation; {BLOCK_OF_AC}"
    ] == list(block.missing)


def test_a_light_on_a_pin_that_nothing_sets_is_left_out() -> None:
    circuit = sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=3.3),
        chip("U1", supply="supply v", ground="ground gnd", lamp="output lamp"),
        piece("R1", "resistor", "lamp a", resistance=330.0),
        piece("D1", "led", "a gnd"),
    )
    [block] = [one for one in blocks_of(circuit) if "D1" in one.parts]
    assert () == block.sums
    assert "left out, since D1 carries no current in any solved situation" in block.missing[0]


@pytest.mark.parametrize("count", [1, 3])
def test_lights_the_wrong_way_round_are_told_so(count: int) -> None:
    nets = ["gnd", *(f"n{number}" for number in range(count))]
    lights = [piece(f"D{k + 1}", "led", f"{nets[k]} {nets[k + 1]}") for k in range(count)]
    circuit = sketch(
        "",
        piece("V1", "dc_supply", "v gnd", voltage=15.0),
        piece("R1", "resistor", f"v {nets[-1]}", resistance=1e3),
        *lights,
    )
    [block] = [one for one in blocks_of(circuit) if "D1" in one.parts]
    assert "reversed_led" == block.kind
    assert 15.0 == pytest.approx(sum_of((block,), "reverse voltage").result.value, rel=1e-3)


def test_a_light_between_alternating_ends_is_not_told_to_be_reversed() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "a gnd", voltage=9.0),
        piece("R1", "resistor", "a b", resistance=1e3),
        piece("D1", "led", "gnd b"),
    )
    assert "reversed_led" not in {block.kind for block in recognise(circuit)}


def fused() -> Circuit:
    return sketch(
        "",
        piece("J1", "ac_supply", "a gnd", voltage=10.0, resistance=0.0),
        piece("F1", "fuse", "a b", current_rating=1.0, resistance=0.0),
        piece("R1", "resistor", "b gnd", resistance=8.0),
    )


def test_a_fuse_in_an_alternating_line_is_told_by_the_effective_current() -> None:
    circuit = fused()
    waves = {"on": periodic_steady_state(circuit, situation=ON)}
    blocks = recognise(circuit, operating_point(circuit, situations=[ON]), waveforms=waves)
    share = sum_of(blocks, "share of its rating")
    assert "share of its rating in use, effective over a period" == share.says
    assert 1.25 == pytest.approx(share.result.value, rel=0.01)


def test_without_a_waveform_the_fuse_says_nothing_of_its_load() -> None:
    circuit = fused()
    [fuse] = [
        block
        for block in recognise(circuit, operating_point(circuit, situations=[ON]))
        if block.kind == "fuse_input"
    ]
    assert () == fuse.sums
    assert "left out, since F1 carries no current" in fuse.missing[0]


def test_a_reservoir_behind_a_rectifier_keeps_the_energy_of_its_highest_voltage() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "a b", voltage=15.0, resistance=1.0),
        piece("D1", "bridge_rectifier", "a b high gnd"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=680e-6),
        piece("R1", "resistor", "high gnd", resistance=330.0),
    )
    waves = {"on": periodic_steady_state(circuit, situation=ON)}
    blocks = recognise(circuit, operating_point(circuit, situations=[ON]), waveforms=waves)
    kept = sum_of(blocks, "energy kept")
    highest = float(waves["on"].part_voltage("C1").max())
    assert 680e-6 * highest**2 / 2.0 == pytest.approx(kept.result.value)


def test_a_sum_from_the_mains_carries_their_tolerance() -> None:
    mains = spread(piece("J1", "ac_supply", "live neutral", voltage=230.0), voltage=0.1)
    circuit = sketch(
        "",
        mains,
        piece("C1", "film_capacitor", "live b", capacitance=330e-9),
        piece("D1", "bridge_rectifier", "b neutral rail gnd"),
        piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=100e-6),
    )
    current = sum_of(recognise(circuit), "average current into a rail").result
    assert current.uncertainty / current.value >= 0.99 * 0.1 / 3**0.5


def test_a_rail_behind_a_rectifier_is_told_by_its_steady_voltage_over_a_period() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "a b", voltage=15.0, resistance=1.0),
        piece("D1", "bridge_rectifier", "a b high gnd"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=2200e-6),
        piece("R1", "resistor", "high held", resistance=1000.0),
        piece("D2", "zener", "gnd held", breakdown_voltage=5.1),
        piece("R2", "resistor", "held gnd", resistance=10e3),
    )
    wave = periodic_steady_state(circuit, situation=ON)
    solution = operating_point(circuit, situations=[ON])
    blocks = recognise(circuit, solution, waveforms={"on": wave}, alternating=["on"])
    supply = next(block for block in blocks if block.kind == "zener_supply")
    mean = figures(wave.times, wave.voltage("high")).average
    assert () == supply.unusual
    current = sum_of((supply,), "current through the resistor")
    assert (mean - 5.1) / 1000.0 == pytest.approx(current.result.value)
    unseen = recognise(circuit, solution, alternating=["on"])
    assert () == next(block for block in unseen if block.kind == "zener_supply").unusual


SHORTED = Situation(name="shorted", settings={"R1": {"resistance": 0.01}})
STIFF_LED = piece("D1", "led", "a gnd", forward_drop=2.0, series_resistance=0.01)
DROPPER = piece("R1", "resistor", "v a", resistance=100.0)


@pytest.mark.parametrize(
    "supply",
    [
        piece("V1", "dc_supply", "v gnd", voltage=5.0, resistance=0.6),
        piece("V1", "cell", "v gnd", emf=5.0, internal_resistance=0.01, current_rating=1.0),
    ],
)
def test_a_short_that_a_supply_does_not_bear_tells_no_sum(supply: Part) -> None:
    circuit = sketch("", supply, DROPPER, STIFF_LED)
    blocks = recognise(circuit, operating_point(circuit, situations=[SHORTED, ON]))
    assert sum_of(blocks, "LED current").situation == "on"


def test_where_nothing_flows_but_in_a_short_that_is_told() -> None:
    supply = piece("V1", "dc_supply", "v gnd", voltage=5.0, resistance=0.6)
    circuit = sketch("", supply, DROPPER, STIFF_LED)
    off = Situation(name="off", settings={"V1": {"connected": 0.0}})
    blocks = recognise(circuit, operating_point(circuit, situations=[off, SHORTED]))
    assert sum_of(blocks, "LED current").situation == "shorted"
