"""What a dossier tells the hazard checks: read, refused in words, saved and read again."""

from pathlib import Path

import pytest

from lidoff.dossier import analyse, dossier_from_text, dossier_text, load_dossier
from lidoff.errors import DossierError

BARE = """
accessible = ["gnd"]
protection_class = "II"

[device]
title = "a lamp"

[situations.on]

[readings.case]
quantity = "temperature of the case"
shown = "51.0 °C"

[parts.J1]
kind = "dc_supply"
value = "5 V"
pins = { plus = "plus", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "100 Ω"
pins = { 1 = "plus", 2 = "gnd" }

[parts.BT1]
kind = "cell"
pins = { plus = "cell", minus = "gnd" }

[lights.lamp]
parts = ["R1"]
spectrum = "logs/lamp.csv"
distance = "0.2 m"
use = "general lighting"

[lasers.pointer]
laser_class = "3R"
wavelength = "650 nm"

[surfaces.case]
material = "plastic"
touch = "held"
reading = "case"

[cells.BT1]
charge_limit = "4.20 V ± 0.02 V"
protection = "absent"
"""
SPECTRUM = {"logs/lamp.csv": b"nm,W/m2/nm\n400,0.1\n410,0.2\n420,0.4\n430,0.2\n440,0.1\n"}


def test_all_that_is_told_comes_back_after_saving() -> None:
    dossier = dossier_from_text(BARE, logs=SPECTRUM)
    assert dossier == dossier_from_text(dossier_text(dossier), logs=SPECTRUM)
    assert (("gnd",), "II", "3R") == (
        dossier.accessible,
        dossier.protection_class,
        dossier.lasers[0].laser_class,
    )


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('accessible = ["gnd"]', 'accessible = ["gnt"]', "there is no net 'gnt'"),
        ('reading = "case"', 'reading = "cave"', "there is no reading 'cave'"),
        ('reading = "case"', 'reading = "case"\nto = "shell"', "there is no surface 'shell'"),
        ('reading = "case"', 'reading = "case"\nto = "case"', "comes back to itself"),
        ('reading = "case"', "", "one of temperature, reading and resistance"),
        ('spectrum = "logs/lamp.csv"', "", "a light has no peak"),
        ('spectrum = "logs/lamp.csv"', 'spectrum = "logs/lump.csv"', "there is no file 'logs/lump.csv'"),
        ("[cells.BT1]", "[cells.BT2]", "there is no part 'BT2'"),
        ("[cells.BT1]", "[cells.R1]", "R1 is a resistor, and no cell"),
        ('"4.20 V ± 0.02 V"', '"4.20 A"', "4.20 A"),
        ('laser_class = "3R"', 'laser_class = "3"', "not among the known words"),
        ('distance = "0.2 m"', 'distance = "0 m"', "distance is 0 m"),
    ],
)
def test_what_cannot_be_is_refused_in_words(old: str, new: str, words: str) -> None:
    assert old in BARE
    with pytest.raises(DossierError) as caught:
        dossier_from_text(BARE.replace(old, new), logs=SPECTRUM)
    told = [str(caught.value), *(str(fault) for fault in caught.value.faults)]
    assert any(words in text for text in told), told


def test_a_measured_spectrum_is_read_from_the_folder(tmp_path: Path) -> None:
    (tmp_path / "logs").mkdir()
    (tmp_path / "logs" / "lamp.csv").write_bytes(SPECTRUM["logs/lamp.csv"])
    (tmp_path / "dossier.toml").write_text(BARE, encoding="utf-8")
    assert load_dossier(tmp_path).lights[0].content == SPECTRUM["logs/lamp.csv"]


def test_a_spectrum_without_units_is_refused_where_it_is_named() -> None:
    with pytest.raises(
        DossierError, match=r"lights\.lamp\.spectrum: the first line of the spectrum tells no units"
    ):
        dossier_from_text(BARE, logs={"logs/lamp.csv": b"400,0.1\n410,0.2\n"})


def test_a_surface_takes_its_temperature_from_a_reading() -> None:
    hazards = analyse(dossier_from_text(BARE, logs=SPECTRUM)).hazards
    (found,) = (one for one in hazards if one.check == "surface heat")
    assert found.value is not None
    assert 51.0 == pytest.approx(found.value.value)


def test_a_net_told_as_accessible_is_held_against_the_mains() -> None:
    mains = BARE.replace(
        'kind = "dc_supply"\nvalue = "5 V"', 'kind = "ac_supply"\nvalue = "230 V"\nfrequency = "50 Hz"'
    )
    found = [
        one for one in analyse(dossier_from_text(mains, logs=SPECTRUM)).hazards if one.check == "barrier"
    ]
    assert [("beyond the limit", ("gnd",))] == [(one.outcome, one.nets) for one in found]


@pytest.mark.parametrize("degree", ["3", '"3"'])
def test_a_choice_that_is_a_number_may_be_written_without_quotes(degree: str) -> None:
    distance = (
        f'\n[distances.gap]\nbetween = ["plus", "gnd"]\nclearance = "5 mm"\npollution_degree = {degree}\n'
    )
    dossier = dossier_from_text(BARE + distance, logs=SPECTRUM)
    assert "3" == dossier.distances[0].pollution_degree
    assert dossier == dossier_from_text(dossier_text(dossier), logs=SPECTRUM)


@pytest.mark.parametrize("degree", ["4", "true", "3.0"])
def test_another_number_than_a_choice_allows_is_refused(degree: str) -> None:
    distance = (
        f'\n[distances.gap]\nbetween = ["plus", "gnd"]\nclearance = "5 mm"\npollution_degree = {degree}\n'
    )
    with pytest.raises(DossierError, match="is not among the known words; known: 1, 2, 3"):
        dossier_from_text(BARE + distance, logs=SPECTRUM)
