"""The two resistors by which a device behind a USB-C socket asks for power."""

from __future__ import annotations

from lidoff.circuit import Circuit, Part
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM
from lidoff.insight.view import PlacedPart, View
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

SOURCE = "USB Type-C Cable and Connector Specification, R_d of a sink: 5.1 kΩ (from memory)"
ASKED = Quantity(80e-6, "A")
"""Current that a source of default power sends down the line: same specification, from memory."""


def _example() -> Circuit:
    return sketch(
        "USB-C socket",
        Part(
            reference="J1",
            kind="connector",
            pins={"vbus": "v5", "cc1": "cc_1", "cc2": "cc_2", "gnd": "gnd"},
        ),
        piece("V1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "cc_1 gnd", resistance=5.1e3),
        piece("R2", "resistor", "cc_2 gnd", resistance=5.1e3),
    )


def _near(one: PlacedPart) -> bool:
    ohms = one.value("resistance")
    return ohms is not None and 4.0e3 <= ohms <= 6.2e3


def _line(view: View, net: str) -> bool:
    """A connector's pin, or the net, bears the line's name."""
    named = any(
        one.kind in ("connector", "box") and pin.lower().startswith("cc") for one, pin in view.pins[net]
    )
    return named or net.lower().replace("_", "").endswith(("cc1", "cc2"))


def _sums(m: Match) -> Sums:
    return (
        m.sum("voltage on the line behind a source of default power", "I · R", "V", SOURCE + "; " + OHM,
              beside=m.beside_voltage("first"), I=ASKED, R=m.ohms("resistor")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="usb_sink_resistors",
        title="USB-C sink resistors",
        purpose="{resistor} tell a USB-C source that a device is there; without them such a source gives no voltage.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("resistor", "resistor", "first ground", where=_near),
                    role("resistor", "resistor", "second ground", where=_near, optional=True),
                ),
                nets={"ground": (GROUND,), "first": (NOT_RAIL, _line), "second": (NOT_RAIL, _line)},
            ),
        ),
        rank=7,
        sums=_sums,
        unusual=lambda m: (
            ()
            if m.count("resistor") > 1
            else ("only one line has its resistor: turned over, or on a C-to-C cable, it may get no power",)
        ),
        fails=("resistor open: a USB-C source gives no voltage, at least with the plug one way round",),
        source=SOURCE,
    ),
)
