"""Whole invented devices: what is wrong with them is flagged, and a twin with that one thing put right is not."""

from functools import cache
from pathlib import Path

import pytest

from lidoff.dossier import analyse, dossier_from_text
from lidoff.hazards import Hazard

DEVICES = Path(__file__).parent / "devices"


@cache
def hazards(device: str, old: str = "", new: str = "") -> tuple[Hazard, ...]:
    text = (DEVICES / f"{device}.toml").read_text(encoding="utf-8")
    assert old in text
    return analyse(dossier_from_text(text.replace(old, new, 1) if old else text)).hazards


def beyond(found: tuple[Hazard, ...], check: str, name: str) -> bool:
    return any(
        one.check == check
        and one.outcome == "beyond the limit"
        and name in (*one.parts, *one.nets, one.title)
        for one in found
    )


@pytest.mark.parametrize(
    ("device", "check", "name", "old", "new"),
    [
        ("adapter", "barrier", "C3", 'marking = "222M 1kV"', 'marking = "222M Y1 400V~"'),
        ("torch", "cells", "BT1", 'value = "5 V ± 5 %"', 'value = "4.15 V ± 1 %"'),
        ("torch", "stress", "LED1", 'value = "1 Ω ± 5 %"', 'value = "3.9 Ω ± 5 %"'),
        ("torch", "risk group", "LED1", 'luminous_flux = "110 lm ± 20 %"', 'luminous_flux = "2 lm ± 20 %"'),
        ("bulb", "stored charge", "C1", 'value = "510 kΩ"', 'value = "82 kΩ"'),
        ("bulb", "stress", "R2", 'package = "1206"', 'package = "axial, 1 W"'),
        (
            "bulb",
            "surface heat",
            "the surface heatsink can burn skin",
            'resistance = "12 K/W ± 30 %"',
            'resistance = "3 K/W ± 30 %"',
        ),
    ],
)
def test_what_is_wrong_is_flagged_and_put_right_it_is_not(
    device: str, check: str, name: str, old: str, new: str
) -> None:
    assert beyond(hazards(device), check, name)
    assert not beyond(hazards(device, old, new), check, name)


def test_the_adapter_keeps_its_distances_and_a_narrower_one_does_not() -> None:
    assert not beyond(hazards("adapter"), "insulation", "out_minus")
    assert beyond(hazards("adapter", 'creepage = "6.2 mm', 'creepage = "2.2 mm'), "insulation", "out_minus")
