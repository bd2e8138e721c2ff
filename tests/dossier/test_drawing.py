"""What a dossier says of its schematic is what is drawn, and is kept."""

from __future__ import annotations

import pytest

from lidoff.dossier import DrawingChoices, circuit_of, dossier_from_text, dossier_text, drawing_options
from lidoff.dossier.drawing import FARTHEST_PIN
from lidoff.errors import DossierError
from lidoff.schematic import DrawingOptions, Pinned, draw
from lidoff.schematic.options import FARTHEST

LAMP = """
[device]
title = "Lamp (invented)"

[parts.J1]
kind = "dc_supply"
pins = { plus = "vcc", minus = "gnd" }
value = "5 V"

[parts.R1]
kind = "resistor"
pins = { 1 = "vcc", 2 = "a" }
value = "270 Ω"

[parts.D1]
kind = "led"
pins = { anode = "a", cathode = "gnd" }
"""
CHOICES = """
[drawing]
every_part = true
keep_apart = ["D1"]
similar_values = true
resistors = "zigzag"
effort = 2

[drawing.pinned]
R1 = { x = 7, y = -3, quarter_turns = 1 }
D1 = { x = 0, y = 0, mirrored = true }
"""


def test_what_is_told_of_the_drawing_is_drawn() -> None:
    dossier = dossier_from_text(LAMP + CHOICES)

    drawing = draw(circuit_of(dossier), options=drawing_options(dossier))

    symbols = {symbol.reference: symbol for symbol in drawing.sheets[0].symbols}
    assert (symbols["R1"].x, symbols["R1"].y) == (7, -3)
    assert (symbols["D1"].x, symbols["D1"].y) == (0, 0)
    assert symbols["R1"].outline != draw(circuit_of(dossier_from_text(LAMP))).sheets[0].symbols[-1].outline
    assert drawing_options(dossier).zigzag_resistors
    assert not drawing_options(dossier).abbreviate


def test_choices_are_written_as_they_were_read() -> None:
    dossier = dossier_from_text(LAMP + CHOICES)

    assert dossier_from_text(dossier_text(dossier)).drawing == dossier.drawing
    assert dossier.drawing == DrawingChoices(
        every_part=True,
        keep_apart=("D1",),
        similar_values=True,
        resistors="zigzag",
        effort=2,
        pinned={"R1": Pinned(x=7, y=-3, quarter_turns=1), "D1": Pinned(x=0, y=0, mirrored=True)},
    )


def test_a_dossier_that_says_nothing_is_drawn_as_usual() -> None:
    assert drawing_options(dossier_from_text(LAMP)) == DrawingOptions()
    assert "drawing" not in dossier_text(dossier_from_text(LAMP))


def test_what_a_command_asks_for_wins() -> None:
    dossier = dossier_from_text(LAMP)

    assert drawing_options(dossier, abbreviate=False, currents=True, effort=None) == DrawingOptions(
        abbreviate=False, currents=True
    )


@pytest.mark.parametrize(
    ("choices", "told"),
    [
        ('[drawing]\nkeep_apart = ["R9"]', "R9"),
        ("[drawing.pinned]\nR9 = { x = 0, y = 0 }", "R9"),
        (f"[drawing.pinned]\nR1 = {{ x = {FARTHEST + 1}, y = 0 }}", f"-{FARTHEST} to {FARTHEST}"),
        ("[drawing.pinned]\nR1 = { x = 0, y = 0, quarter_turns = 4 }", "0 to 3"),
        ('[drawing]\nresistors = "wavy"', "zigzag"),
    ],
)
def test_what_cannot_be_drawn_is_named_with_its_place(choices: str, told: str) -> None:
    with pytest.raises(DossierError, match="drawing") as caught:
        dossier_from_text(LAMP + choices)

    assert told in str(caught.value)


def test_the_file_and_the_drawing_know_the_same_page() -> None:
    assert FARTHEST_PIN == FARTHEST
