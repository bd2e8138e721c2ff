"""Writing the report and the stills of a dossier of 50 parts, beside what drawing and setting alone take in the same run."""

from __future__ import annotations

import tempfile
from dataclasses import replace
from pathlib import Path

from benchmarks.measurement import Measurement, interleaved_medians
from lidoff.dossier import Analysis, analyse, dossier_from_text
from lidoff.report import (
    html_of,
    pages_of,
    pdf_of,
    stage_of,
    still_svg,
    stills_of,
    stills_png,
    story_of,
    write_report,
    write_stills,
)
from lidoff.schematic import draw

__all__ = ["measure"]

REPORT_SECONDS = 3.0
STILLS_SECONDS = 10.0
"""What a report and a set of stills may take on the machine that they are promised for [s]; told, not held."""
HEAD = """
[device]
title = "invented panel of lights and dividers"
[instruments.meter]
input_resistance = "10 MΩ"
[[instruments.meter.ranges]]
measures = "voltage dc"
accuracy = "±(0.5 % + 3)"
[situations.on]
title = "switched on"
[situations.off]
set = { V1 = "0 V" }
[parts.V1]
kind = "dc_supply"
value = "12 V ± 5 %"
pins = { plus = "plus", minus = "gnd" }
[parts.F1]
kind = "fuse"
value = "1 A"
pins = { 1 = "plus", 2 = "rail" }
"""
LIGHT = """
[parts.R{0}]
kind = "resistor"
value = "{1} Ω ± 5 %"
pins = {{ 1 = "rail", 2 = "lamp{0}" }}
[parts.D{0}]
kind = "led"
pins = {{ anode = "lamp{0}", cathode = "gnd" }}
[readings.lamp{0}]
situation = "on"
instrument = "meter"
voltage = "lamp{0}"
shown = "2.0 V"
[claims.lamp{0}]
kind = "voltage"
says = "lamp {0} at 2 V"
value = "2 V"
from = {{ voltage = "lamp{0}" }}
"""
DIVIDER = """
[parts.R{0}]
kind = "resistor"
value = "{1} kΩ ± 1 %"
pins = {{ 1 = "rail", 2 = "tap{0}" }}
[parts.R{0}b]
kind = "resistor"
value = "{2} kΩ ± 1 %"
pins = {{ 1 = "tap{0}", 2 = "gnd" }}
[parts.C{0}]
kind = "capacitor"
value = "100 nF"
pins = {{ 1 = "tap{0}", 2 = "gnd" }}
"""


def text_of() -> str:
    """Text of a dossier of 50 parts, no two blocks alike."""
    lights = "".join(LIGHT.format(number, 470 + 30 * number) for number in range(1, 13))
    dividers = "".join(DIVIDER.format(number, 10 + number, 5 + number) for number in range(21, 29))
    return HEAD + lights + dividers


def measure() -> list[Measurement]:
    """Report and stills over the drawing and setting inside them, with the time of each."""
    analysis = analyse(dossier_from_text(text_of()))
    assert len(analysis.circuit.parts) == 50
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        return [_report(analysis, folder), _stills(analysis, folder)]


def _report(analysis: Analysis, folder: Path) -> Measurement:
    pages = pages_of(analysis)
    circuit = replace(analysis.circuit, title="")

    def whole() -> object:
        fresh = replace(analysis)  # another value, so that no earlier drawing is kept for it
        return write_report(fresh, folder / "report")

    seconds = interleaved_medians(
        {
            "report": whole,
            "drawing": lambda: draw(circuit),
            "setting": lambda: (html_of(pages), pdf_of(pages)),
        },
        rounds=5,
    )
    return Measurement(
        name="report of 50 parts over its drawing and setting",
        ratio=seconds["report"] / (seconds["drawing"] + seconds["setting"]),
        limit=2.0,
        seconds=seconds,
        details={"seconds promised": REPORT_SECONDS},
    )


def _stills(analysis: Analysis, folder: Path) -> Measurement:
    story, stage = story_of(analysis), stage_of("wide")
    stills = stills_of(story)
    svgs = [still_svg(still, stage) for still in stills]
    seconds = interleaved_medians(
        {
            "stills": lambda: write_stills(story, folder / "stills"),
            "setting": lambda: stills_png(svgs, stage),
        },
        rounds=3,
    )
    return Measurement(
        name="stills of 50 parts over their setting",
        ratio=seconds["stills"] / seconds["setting"],
        limit=3.0,
        seconds=seconds,
        details={"seconds promised": STILLS_SECONDS, "stills": float(len(stills))},
    )
