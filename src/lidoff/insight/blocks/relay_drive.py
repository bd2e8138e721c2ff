"""A relay whose coil a transistor switches."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Relay drive",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("K1", "relay", "v5 low contact made -"),
        piece("D1", "diode", "low v5"),
        piece("Q1", "npn", "low base gnd"),
        piece("R1", "resistor", "drive base", resistance=1e3),
        chip("U1", supply="supply v5", ground="ground gnd", drive="output drive"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum("coil current", "V ÷ R_coil", "A", OHM, at="relay", beside=m.beside_current("relay"),
              V=m.volts("high", "low", busy="relay") if m.situations() else m.volts("high"),
              R_coil=m.quantity("relay", "coil_resistance")),
        m.sum("energy that the coil gives back as it is switched off", "L · (V ÷ R_coil)^2 ÷ 2", "J", art(1), at="relay",
              V=m.volts("high", "low", busy="relay") if m.situations() else m.volts("high"),
              L=m.quantity("relay", "coil_inductance"), R_coil=m.quantity("relay", "coil_resistance")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    guarded = any(
        one.kind in ("diode", "schottky", "zener", "suppressor", "varistor")
        for one, _ in m.view.pins[m.nets["low"]]
    )
    found = []
    if not guarded:
        found.append(
            "nothing takes over the coil's current: the transistor sees a voltage kick each time it lets go"
        )
    volts, needed = m.volts("high", "low", busy="relay"), m.quantity("relay", "operate_voltage")
    if m.amperes("relay") and volts is not None and needed is not None and 0.0 < volts.value < needed.value:
        found.append(
            f"the coil gets no more than {volts} where it needs about {needed}: the contact stays open"
        )
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="relay_drive",
        title="relay",
        purpose="{relay} closes its contact while {switch} feeds its coil; coil and contact share no wire.",
        example=_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("relay", "relay", "high low - - -"),
                    role("switch", kinds, pins, shared=True),
                ),
                nets={"low": (NOT_RAIL,)},
            )
            for kinds, pins in (
                ("npn darlington_npn", "low - -"),
                ("mosfet_n", "- low -"),
            )
        ),
        also=("bipolar_low_side", "flyback_diode"),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "relay coil open: the contact never closes",
            "relay contact welded: the load stays on whatever the circuit wants",
        ),
        source=art(12),
    ),
)
