"""Things that make a sound: a buzzer that a switch feeds, or a bare piezo disc that a chip shakes."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import DRIVEN, NOT_RAIL, BlockKind, Pattern, Sums, either, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE, art
from lidoff.insight.view import View
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

BEEP = Quantity(4e3, "Hz")
"""Frequency at which small discs are loudest; common practice, no source."""


def _buzzer_example() -> Circuit:
    return sketch(
        "Buzzer",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("LS1", "buzzer", "v5 low"),
        piece("Q1", "npn", "low base gnd"),
        piece("R1", "resistor", "drive base", resistance=1e3),
        chip("U1", supply="supply v5", ground="ground gnd", drive="output drive"),
    )


def _piezo_example() -> Circuit:
    return sketch(
        "Piezo disc",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", tone="output tone"),
        piece("R1", "resistor", "tone shaken", resistance=220.0),
        piece("LS1", "piezo", "shaken gnd"),
    )


def _coil_example() -> Circuit:
    return sketch(
        "Piezo disc with a coil",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", tone="output tone"),
        piece("R1", "resistor", "tone base", resistance=1e3),
        piece("Q1", "npn", "shaken base gnd"),
        piece("L1", "inductor", "vbat shaken", inductance=10e-3),
        piece("LS1", "piezo", "vbat shaken"),
    )


def _switched(view: View, net: str) -> bool:
    """A transistor's collector or drain is on the net."""
    return any(
        pin in ("collector", "drain") and one.kind in ("npn", "pnp", "mosfet_n", "mosfet_p", "darlington_npn")
        for one, pin in view.pins[net]
    )


def _buzzer_sums(m: Match) -> Sums:
    return (
        m.sum("power while it sounds", "V · I", "W", OHM, at="buzzer", beside=m.beside_current("buzzer"),
              V=m.volts("plus", "minus", busy="buzzer"), I=m.amperes("buzzer")),
    )  # fmt: skip


def _piezo_sums(m: Match) -> Sums:
    farads = m.farads("piezo")
    return (
        m.sum("reactance of the disc at 4 kHz", "1 ÷ (2 · π · f · C)", "Ω", art(1) + "; 4 kHz: common practice, no source",
              f=BEEP, C=farads),
        m.sum("time constant of each edge", "R · C", "s", art(1), R=m.ohms("resistor"), C=farads)
        if m.has("resistor") else None,
        m.sum("frequency at which coil and disc resonate", "1 ÷ (2 · π · √(L · C))", "Hz", art(1),
              L=m.quantity("coil", "inductance"), C=farads) if m.has("coil") else None,
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="buzzer_drive",
        title="buzzer",
        purpose="{buzzer} sounds while current flows through it; it makes its own tone.",
        example=_buzzer_example,
        patterns=(
            Pattern(
                roles=(role("buzzer", "buzzer", "plus minus"),),
                nets={"minus": (either(_switched, DRIVEN),)},
            ),
            Pattern(
                roles=(role("buzzer", "buzzer", "plus minus"),),
                nets={"plus": (NOT_RAIL, either(_switched, DRIVEN))},
            ),
        ),
        also=("bipolar_low_side",),
        rank=5,
        sums=_buzzer_sums,
        fails=("buzzer open: silence, and nothing else changes",),
        source=PRACTICE,
    ),
    BlockKind(
        name="piezo_drive",
        title="piezo disc",
        purpose="{piezo} bends with the voltage across it and sounds at the rate at which {shaken} is driven.",
        example=_piezo_example,
        patterns=(
            Pattern(
                roles=(role("piezo", "piezo", "shaken other"), role("resistor", "resistor", "shaken driven")),
                nets={"driven": (NOT_RAIL, DRIVEN), "shaken": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(role("piezo", "piezo", "shaken other"),),
                nets={"shaken": (NOT_RAIL, DRIVEN)},
            ),
        ),
        rank=6,
        sums=_piezo_sums,
        fails=(
            "piezo cracked: silence or a faint sound",
            "resistor open: silence",
        ),
        source=PRACTICE,
    ),
    BlockKind(
        name="piezo_with_coil",
        title="piezo disc with coil",
        purpose="{coil} kicks {piezo} to more than the supply each time its transistor lets go, which makes it louder.",
        example=_coil_example,
        patterns=(
            Pattern(
                roles=(role("piezo", "piezo", "one shaken"), role("coil", "inductor resistor", "one shaken")),
                nets={"shaken": (NOT_RAIL, _switched)},
            ),
            Pattern(
                roles=(
                    role("piezo", "piezo", "low shaken"),
                    role("coil", "inductor resistor", "feed shaken"),
                ),
                nets={"shaken": (NOT_RAIL, _switched)},
            ),
        ),
        also=("bipolar_low_side",),
        rank=7,
        sums=_piezo_sums,
        fails=(
            "piezo cracked: silence or a faint sound",
            "coil open: the disc is charged once and then stays silent",
        ),
        source=PRACTICE,
    ),
)
