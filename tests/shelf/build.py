"""Shelves of a few small dossiers for the tests of this room."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path

from lidoff.errors import DossierError

LAMP = """
[device]
title = "{title}"
maker = "Nobody (invented)"

[situations.lit]
set = {{ J1 = {{ voltage = "5.02 V" }} }}

[readings.power]
situation = "lit"
quantity = "power"
shown = "0.43 W ± 0.02 W"

[claims.power]
kind = "power_input"
says = "{says}"
value = "{says}"
sense = "at least"
from = {{ power = "power" }}

[parts.J1]
kind = "dc_supply"
value = "5 V"
pins = {{ plus = "{net}", minus = "gnd" }}

[parts.R1]
kind = "resistor"
value = "{ohms}"
pins = {{ 1 = "{net}", 2 = "led_plus" }}
does = "sets the current"

[parts.D1]
kind = "led"
forward_drop = "3.0 V ± 0.15 V"
pins = {{ anode = "led_plus", cathode = "gnd" }}
marking = "{marking}"
"""


def lamp_text(
    title: str = "Lamp (invented)",
    says: str = "1 W",
    ohms: str = "150 Ω ± 5 %",
    marking: str = "W5",
    net: str = "usb",
) -> str:
    """Text of a lamp's dossier."""
    return LAMP.format(title=title, says=says, ohms=ohms, marking=marking, net=net)


def shelf_of(folder: Path, texts: dict[str, str]) -> Path:
    """Folder with a dossier of each text."""
    for name, text in texts.items():
        place = folder / name
        place.mkdir(parents=True)
        (place / "dossier.toml").write_text(text, encoding="utf-8")
    return folder


def square(text: str) -> int:
    """Square of a number, or trouble."""
    if text == "dead":
        os._exit(3)
    if text == "odd":
        raise DossierError("cannot be read", where=text)
    return int(text) ** 2


def eventually(is_so: Callable[[], bool]) -> bool:
    """Whether something comes to be so while one is ready to wait."""
    ends = time.monotonic() + 240.0  # a busy machine is no fault
    while not is_so() and time.monotonic() < ends:
        time.sleep(0.05)
    return is_so()
