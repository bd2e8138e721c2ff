"""The schematic tinted by what each part's own failure does."""

import re

from lidoff.dossier import Analysis, analyse, dossier_from_text
from lidoff.report.fault_figure import fault_figures

LAMP = """[device]
title = "lamp"

[situations.on]

[parts.V1]
kind = "dc_supply"
value = "5 V"
resistance = "0.1 Ω"
pins = { plus = "plus", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "RESISTANCE"
power_rating = "0.25 W"
pins = { 1 = "plus", 2 = "tail" }

[parts.LED1]
kind = "led"
forward_drop = "3.0 V"
current_rating = "CURRENT"
pins = { anode = "tail", cathode = "gnd" }
"""


def lamp(resistance: str = "100 Ω", current: str = "30 mA") -> Analysis:
    return analyse(dossier_from_text(LAMP.replace("RESISTANCE", resistance).replace("CURRENT", current)))


def tinted_parts(svg: str) -> set[str]:
    return set(re.findall(r'class="area[^>]*data-parts="([^"]+)"[^>]*fill-opacity', svg))


def test_a_part_whose_short_overheats_another_is_tinted() -> None:
    (figure,) = fault_figures(lamp())
    assert {"R1"} == tinted_parts(figure.picture.wide)
    assert "amber, where another part runs over its rating" in figure.caption
    assert "brick" not in figure.caption
    assert "R1 shorted: LED1 at" in figure.alt


def test_no_figure_where_no_fault_hurts_another_part() -> None:
    assert fault_figures(lamp(resistance="10 kΩ", current="2 A")) == ()
