"""The examples in the documentation are read as they stand."""

import json
import re
import tomllib
from pathlib import Path
from textwrap import dedent

import pytest

from lidoff.dossier import dossier_from_text, toml_text
from lidoff.dossier.forms import shape_faults
from lidoff.dossier.tables import DOSSIER

DOCS = Path(__file__).parents[2] / "docs"
OF_OTHER_FILES = ("adding-a-block.md", "adding-a-check.md", "boards.md", "markings.md")
"""Pages of which the examples are pieces of packages, tables of marks and decisions laid over a trace."""

DEVICE = """format = 2
[device]
title = "what the examples speak of"

[parts]
J1 = { kind = "dc_supply", value = "5 V", pins = { plus = "usb_5v", minus = "gnd" } }
BT1 = { kind = "cell", pins = { plus = "main_5v", minus = "gnd" } }
S1 = { kind = "switch", pins = { 1 = "usb_5v", 2 = "lamp_5v" } }
M1 = { kind = "motor", pins = { plus = "lamp_5v", minus = "gnd" } }
W4 = { kind = "link", value = "15 mΩ", pins = { 1 = "main_5v", 2 = "cell_plus" } }
R1 = { kind = "resistor", value = "1 kΩ", pins = { 1 = "cell_plus", 2 = "gate" } }
R2 = { kind = "resistor", value = "1 kΩ", pins = { 1 = "live", 2 = "out" } }
R3 = { kind = "resistor", value = "1 kΩ", pins = { 1 = "usb_minus", 2 = "lamp_shell" } }
C1 = { kind = "capacitor", value = "1 µF", pins = { 1 = "out", 2 = "rail" } }
D1 = { kind = "diode", pins = { anode = "gnd", cathode = "rail" } }
D2 = { kind = "diode", pins = { anode = "gnd", cathode = "rail" } }
D3 = { kind = "diode", pins = { anode = "gnd", cathode = "rail" } }
D4 = { kind = "diode", pins = { anode = "gnd", cathode = "rail" } }
LED1 = { kind = "led", pins = { anode = "gate", cathode = "gnd" } }

[parts.U1]
kind = "controller"
pins = { vdd = "usb_5v", gnd = "gnd", led = "gate" }

[parts.U2]
kind = "controller"
pins = { vdd = "usb_5v", gnd = "gnd", MOTOR = "gate" }

[situations]
charging = { set = { J1 = "5 V" } }
running = { set = { J1 = "5 V" } }

[instruments.meter]
ranges = [{ measures = "current ac", up_to = "6 A", accuracy = "±(1.5 % + 3)" }]

[instruments.handheld]
ranges = [{ measures = "voltage dc", up_to = "6 V", accuracy = "±(0.5 % + 3)" }]

[readings]
usb_volts = { quantity = "voltage", shown = "5.02 V ± 0.01 V" }
usb_amps = { quantity = "current", shown = "0.5 A ± 0.01 A" }
motor_voltage = { quantity = "voltage", shown = "3.3 V ± 0.01 V" }
motor_current = { quantity = "current", shown = "0.5 A ± 0.01 A" }
case_temperature = { quantity = "temperature", shown = "41 °C ± 1 °C" }

[claims.power]
kind = "power_input"
says = "60 W"
value = "60 W"
"""


EXAMPLES = [
    pytest.param(dedent(example), id=f"{page.relative_to(DOCS).as_posix()} {number}")
    for page in sorted((*DOCS.glob("*.md"), *DOCS.glob("how-to/*.md")))
    if page.name not in OF_OTHER_FILES
    for number, example in enumerate(
        re.findall(r"(?ms)^ *```toml\n(.*?)^ *```", page.read_text(encoding="utf-8")), start=1
    )
]
"""Every piece of a dossier that a page shows."""


def laid_into_the_device(example: str) -> dict[str, object]:
    """Document of the device with the example's entries in it, in place of those of the same name."""
    shown = tomllib.loads(example)
    if list(shown) == ["value"]:
        shown = {"parts": {"W4": {**tomllib.loads(DEVICE)["parts"]["W4"], **shown}}}
    document = tomllib.loads(DEVICE)
    for table, entries in shown.items():
        document[table] = {**document.get(table, {}), **entries} if isinstance(entries, dict) else entries
    return document


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_read_as_a_piece_of_a_dossier(example: str) -> None:
    document = laid_into_the_device(example)
    assert [] == list(shape_faults(document, DOSSIER))
    assert dossier_from_text(toml_text(document)).device.title == "what the examples speak of"


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 20


def test_the_example_of_the_analysis_names_only_keys_that_there_are() -> None:
    page = (DOCS / "analysis-json.md").read_text(encoding="utf-8")
    example = re.findall(r"```json\n(.*?)```", page, re.DOTALL)[0]
    document = json.loads(example.replace("{…}", "{}"))
    schema = json.loads(
        (DOCS.parent / "src" / "lidoff" / "dossier" / "schema" / "analysis.schema.json").read_text("utf-8")
    )
    assert set(schema["properties"]) == set(document)
