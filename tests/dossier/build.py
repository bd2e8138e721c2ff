"""Dossiers of a few lines for the tests of this room."""

from lidoff.dossier import Dossier, dossier_from_text

LAMP = """format = 2
[device]
title = "lamp"

[situations.lit]
set = { J1 = { voltage = "5.02 V" } }

[situations.dark]
set = { J1 = "0 V" }

[instruments.meter]
input_resistance = "10 MΩ"

[[instruments.meter.ranges]]
measures = "voltage dc"
up_to = "6 V"
resolution = "1 mV"
accuracy = "±(0.5 % + 3)"

[readings.led]
situation = "lit"
instrument = "meter"
voltage = "led_plus"
shown = "3.01 V"

[claims.power]
kind = "power_input"
says = "1 W"
value = "1 W"
where = "the box"
from = { power = { situation = "lit", power = "J1" } }

[parts.J1]
kind = "dc_supply"
value = "5 V"
pins = { plus = "usb_5v", minus = "gnd" }

[parts.R1]
kind = "resistor"
value = "150 Ω ± 5 %"
pins = { 1 = "usb_5v", 2 = "led_plus" }

[parts.D1]
kind = "led"
forward_drop = "3.0 V ± 0.15 V"
pins = { anode = "led_plus", cathode = "gnd" }
"""


def lamp(*changes: tuple[str, str], more: str = "") -> Dossier:
    """Load the lamp's dossier with some of its text changed and more put behind it."""
    return dossier_from_text(lamp_text(*changes, more=more))


def lamp_text(*changes: tuple[str, str], more: str = "") -> str:
    """Text of the lamp's dossier, changed; a change that changes nothing is a mistake of the test."""
    text = LAMP
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text + more
