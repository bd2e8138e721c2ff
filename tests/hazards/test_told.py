"""What a dossier tells the hazard checks: read, saved, and refused with its line."""

import pytest

from lidoff.dossier import Dossier, dossier_from_text, dossier_text
from lidoff.errors import DossierError

DISTANCE = """[device]
title = "lamp"

[parts.R1]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "a", 2 = "gnd" }

[distances.slot]
between = ["a", "gnd"]
creepage = "2.1 mm ± 0.2 mm"
insulation = "reinforced"
"""
LIGHT = """[device]
title = "lamp"

[lights.front]
peak = "395 nm"
width = "12 nm"
radiant_power = "0.1 W ± 20 %"
distance = "0.2 m"
"""


def test_a_distance_is_read() -> None:
    (distance,) = dossier_from_text(DISTANCE).distances
    creepage = distance.read("creepage")
    assert creepage is not None
    assert (0.0021, 0.0002) == pytest.approx((creepage.value, creepage.expanded))
    assert distance.insulation == "reinforced"


@pytest.mark.parametrize("text", [DISTANCE, LIGHT], ids=["distance", "light"])
def test_what_is_told_is_saved_and_read_back(text: str) -> None:
    dossier: Dossier = dossier_from_text(text)
    assert dossier == dossier_from_text(dossier_text(dossier))


@pytest.mark.parametrize(
    ("text", "old", "new", "words"),
    [
        (DISTANCE, '["a", "gnd"]', '["b", "gnd"]', "line 10, distances.slot.between: there is no net 'b'"),
        (
            DISTANCE,
            '["a", "gnd"]',
            '["a", "a"]',
            "line 10, distances.slot.between: a distance lies between two",
        ),
        (DISTANCE, "2.1 mm ± 0.2 mm", "2.1 V", "line 11, distances.slot.creepage"),
        (DISTANCE, "2.1 mm ± 0.2 mm", "0 mm", "line 11, distances.slot.creepage: creepage is 0 m"),
        (DISTANCE, '"reinforced"', '"thick"', "line 12, distances.slot.insulation"),
        (DISTANCE, 'creepage = "2.1 mm ± 0.2 mm"\n', "", "neither creepage nor clearance"),
        (LIGHT, '"395 nm"', '"395 kg"', "line 5, lights.front.peak"),
        (LIGHT, 'width = "12 nm"\n', "", "a light has no width"),
        (LIGHT, "peak", 'parts = ["D7"]\npeak', "line 5, lights.front.parts: there is no part 'D7'"),
    ],
)
def test_what_cannot_be_is_refused_with_its_line(text: str, old: str, new: str, words: str) -> None:
    assert old in text
    with pytest.raises(DossierError) as caught:
        dossier_from_text(text.replace(old, new, 1))
    assert words in str(caught.value)
