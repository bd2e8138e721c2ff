"""Supplies that stand for parts on average: what a dossier may say of them, and what it then finds no fault with."""

from pathlib import Path

from lidoff.dossier import SolvedSituation, analyse, dossier_from_text, load_dossier, save_dossier
from lidoff.dossier.editing import apply
from lidoff.dossier.edits import Rename
from tests.dossier.test_loading import fault_of

DROPPER = """format = 2
[device]
title = "dropper"

[parts.J1]
kind = "ac_supply"
value = "230 V"
pins = { plus = "live", minus = "gnd" }

[parts.C1]
kind = "film_capacitor"
value = "220 nF"
pins = { 1 = "live", 2 = "pumped" }

[parts.D1]
kind = "diode"
pins = { anode = "pumped", cathode = "rail" }

[parts.D2]
kind = "diode"
pins = { anode = "gnd", cathode = "pumped" }

[parts.V1]
kind = "dc_supply"
value = "323 V"
resistance = "45 kΩ"
stands_for = ["J1", "C1", "D1", "D2"]
pins = { plus = "rail", minus = "gnd" }

[parts.C2]
kind = "electrolytic_capacitor"
value = "100 µF"
voltage_rating = "25 V"
pins = { plus = "rail", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "rail", 2 = "gnd" }
"""
NAMED = 'stands_for = ["J1", "C1", "D1", "D2"]'


def with_stand_in(words: str) -> str:
    assert NAMED in DROPPER
    return DROPPER.replace(NAMED, words)


def names(text: str) -> set[str]:
    return {finding.name for finding in analyse(dossier_from_text(text)).findings}


def test_a_stand_in_is_saved_with_what_it_stands_for(tmp_path: Path) -> None:
    dossier = dossier_from_text(DROPPER)
    save_dossier(dossier, tmp_path)
    assert ("J1", "C1", "D1", "D2") == load_dossier(tmp_path).parts[4].stands_for


def test_a_new_name_of_a_part_reaches_its_stand_in() -> None:
    edited = apply({"dossier.toml": DROPPER}, Rename(what="part", name="C1", to="C9"))
    assert 'stands_for = ["J1", "C9", "D1", "D2"]' in edited.documents["dossier.toml"]


def test_a_resistor_cannot_stand_for_other_parts() -> None:
    told = fault_of(DROPPER.replace('value = "1 kΩ"', 'value = "1 kΩ"\nstands_for = ["J1"]'))
    assert "R1 is a resistor, which cannot stand for other parts" in told
    assert "only a supply can" in told


def test_a_part_that_is_not_there_cannot_be_stood_for() -> None:
    assert "there is no part 'J9'" in fault_of(with_stand_in('stands_for = ["J9"]'))


def test_a_supply_does_not_stand_for_itself() -> None:
    assert "V1 stands for itself" in fault_of(with_stand_in('stands_for = ["J1", "V1"]'))


def test_a_stand_in_stands_for_a_supply_at_least() -> None:
    told = fault_of(with_stand_in('stands_for = ["C1", "D1"]'))
    assert "V1 stands for no supply, so nothing would be left out while it feeds the circuit" in told


def test_an_averaged_supply_leaves_nothing_to_remark_on_instants_and_loose_nets() -> None:
    assert not {"alternating supply", "undetermined net"} & names(DROPPER)


def test_without_a_stand_in_only_one_instant_is_told() -> None:
    assert "alternating supply" in names(with_stand_in('does = "steady"'))


def test_load_of_a_part_is_the_same_at_rest_and_over_a_period() -> None:
    analysis = analyse(dossier_from_text(DROPPER))
    (result,) = analysis.situations
    (one,) = analysis.repeating
    assert isinstance(result, SolvedSituation)
    assert one.waveforms is not None
    current = result.parts["R1"].current
    assert current is not None
    seen = float(abs(one.waveforms.current("R1")).mean())
    assert abs(seen / current.value - 1.0) < 0.05  # the average is that of a rail that hardly moves
