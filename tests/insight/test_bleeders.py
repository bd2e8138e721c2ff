"""Bleeders of one resistor, and of several in series for the voltage."""

from __future__ import annotations

import pytest

from lidoff.circuit import Part, Situation, operating_point
from lidoff.insight import Block, recognise
from lidoff.insight.sketch import piece, sketch

ALONE = (piece("R1", "resistor", "live neutral", resistance=1.36e6),)
IN_SERIES = (
    piece("R1", "resistor", "live m", resistance=680e3),
    piece("R2", "resistor", "m neutral", resistance=680e3),
)


def bleeder(*resistors: Part) -> Block:
    """The bleeder across a capacitor of 330 nF on 230 V."""
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live neutral", capacitance=330e-9),
        *resistors,
        piece("D1", "bridge_rectifier", "live neutral high gnd"),
        piece("C2", "electrolytic_capacitor", "high gnd", capacitance=10e-6),
    )
    return next(block for block in recognise(circuit) if block.kind == "bleeder")


def test_two_in_series_are_one_bleeder() -> None:
    assert ("R1", "R2") == bleeder(*IN_SERIES).parts


def test_two_in_series_discharge_as_slowly_as_one_of_their_sum() -> None:
    alone, together = (
        next(one for one in bleeder(*resistors).sums if one.says == "time constant")
        for resistors in (ALONE, IN_SERIES)
    )
    assert 1.36e6 * 330e-9 == pytest.approx(alone.result.value)
    assert 1.36e6 * 330e-9 == pytest.approx(together.result.value)


def test_if_one_of_two_in_series_opens_the_charge_stays() -> None:
    assert bleeder(*IN_SERIES).if_it_fails[0].startswith("one of R1 and R2 open: C1 keeps its charge")


def test_a_dropper_with_two_bleeders_in_series_is_told_to_discharge() -> None:
    circuit = sketch(
        "",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live b", capacitance=330e-9),
        piece("R1", "resistor", "live m", resistance=680e3),
        piece("R2", "resistor", "m b", resistance=680e3),
        piece("D1", "bridge_rectifier", "b neutral rail gnd"),
        piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=100e-6),
        piece("D2", "zener", "gnd rail", breakdown_voltage=12.0),
    )
    [block] = [one for one in recognise(circuit) if one.kind == "capacitive_dropper"]
    assert {"R1", "R2"} == set(block.roles["bleeder"])
    assert not any("nothing discharges" in text for text in block.unusual)


LAMP = (
    piece("J1", "ac_supply", "live neutral", voltage=230.0),
    piece("C1", "film_capacitor", "live b", capacitance=680e-9),
    piece("D1", "bridge_rectifier", "b neutral rail gnd"),
    piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=10e-6),
    piece("R3", "resistor", "rail gnd", resistance=470e3),
    piece("V1", "dc_supply", "rail gnd", voltage=110.0),
)


def solved(kind: str) -> Block:
    """A block of the lamp, with a stand-in of 110 V that the mains make no more of."""
    circuit = sketch("", *LAMP)
    unplugged = Situation(name="on", settings={"J1": {"connected": "disconnected"}})
    solution = operating_point(circuit, situations=(unplugged,))
    return next(one for one in recognise(circuit, solution=solution) if one.kind == kind)


def test_a_bleeder_behind_a_dropper_starts_from_the_voltage_of_its_own_capacitor() -> None:
    # 470 kΩ · 10 µF · ln(110 / 34) = 5.52 s; from the peak of 325 V it would be 10.6 s
    [time] = [one for one in solved("bleeder").sums if one.says.startswith("time from")]
    assert pytest.approx(5.52, abs=0.005) == time.result.value


def test_a_dropper_counts_on_the_solved_rail() -> None:
    # 4 · 50 Hz · 680 nF · (325.3 V − 110 V) = 29.3 mA
    [current] = [one for one in solved("capacitive_dropper").sums if one.says.startswith("average current")]
    assert pytest.approx(29.3e-3, abs=0.05e-3) == current.result.value


def test_no_mains_peak_is_taken_for_an_unsolved_capacitor_behind_a_dropper() -> None:
    [bleeder] = [one for one in recognise(sketch("", *LAMP[:-1])) if one.kind == "bleeder"]
    assert [] == [one for one in bleeder.sums if one.says.startswith("time from")]
