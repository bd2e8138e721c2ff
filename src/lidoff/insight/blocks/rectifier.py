"""Rectifiers and the capacitor behind them."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, GROUND, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.solved import part_quantity
from lidoff.insight.sources import art
from lidoff.insight.view import View
from lidoff.quantities import Quantity

__all__ = ["MEMBERS", "is_rectified", "source_of"]

DIODES = "diode schottky"


def _bridge_example() -> Circuit:
    return sketch(
        "Bridge of four diodes",
        piece("J1", "ac_supply", "a b", voltage=9.0),
        piece("D1", "diode", "a high"),
        piece("D2", "diode", "b high"),
        piece("D3", "diode", "gnd a"),
        piece("D4", "diode", "gnd b"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=470e-6),
        piece("M1", "motor", "high gnd", resistance=60.0),
    )


def _half_example() -> Circuit:
    return sketch(
        "One diode",
        piece("J1", "ac_supply", "a gnd", voltage=9.0),
        piece("D1", "diode", "a high"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=470e-6),
        piece("M1", "motor", "high gnd", resistance=60.0),
    )


def _tap_example() -> Circuit:
    return sketch(
        "Two diodes on a winding with a centre tap",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece(
            "T1",
            "three_winding_transformer",
            "live neutral a gnd gnd b",
            turns_ratio=25.0,
            tertiary_turns_ratio=25.0,
        ),
        piece("D1", "diode", "a high"),
        piece("D2", "diode", "b high"),
        piece("C1", "electrolytic_capacitor", "high gnd", capacitance=470e-6),
        piece("M1", "motor", "high gnd", resistance=60.0),
    )


def source_of(view: View, parameter: str) -> Quantity | None:
    """Effective voltage or frequency of the only alternating source."""
    sources = view.by_kind.get("ac_supply", ())
    return part_quantity(sources[0], parameter) if len(sources) == 1 else None


def is_rectified(view: View, net: str) -> bool:
    """Whether a rectifier's plus end is on the net."""
    return any(
        (one.kind == "bridge_rectifier" and pin == "plus")
        or (one.kind in DIODES.split() and pin == "cathode" and one.nets["anode"] in view.alternating)
        for one, pin in view.pins[net]
    )


def _peak(m: Match, diodes: int) -> Sums:
    direct = not (
        m.view.by_kind.get("transformer")
        or m.view.by_kind.get("three_winding_transformer")
        or m.touches("rail", "zener")
    )
    role = "bridge" if m.has("bridge") else "diode"
    return (
        m.sum("highest voltage behind it, without load", "√(2) · U − n · V_F", "V", art(1),
              U=source_of(m.view, "voltage"), n=m.plain(diodes), V_F=m.quantity(role, "forward_drop"))
        if direct else None,
    )  # fmt: skip


def _kept(m: Match) -> Sums:
    halves = [
        one for one, pin in m.view.pins[m.nets["rail"]] if one.kind in DIODES.split() and pin == "cathode"
    ]
    pulses = 1.0 if len(halves) == 1 else 2.0
    volts, period = m.volts("rail", busy="capacitor"), m.highest_across("capacitor")
    at, where = ("", period.situation) if period else ("capacitor", "")
    kept = "energy kept at the highest voltage in a period" if period else "energy kept"
    return (
        m.sum("drop between two pulses, for each ampere of load", "1 ÷ (n · f · C)", "Ω", art(1),
              n=m.plain(pulses), f=source_of(m.view, "frequency"), C=m.farads("capacitor")),
        m.sum(kept, "C · V^2 ÷ 2", "J", art(1), at=at, situation=where, C=m.farads("capacitor"),
              V=period.quantity if period else volts) if period or volts is not None else None,
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="bridge_rectifier",
        title="bridge rectifier",
        purpose="Turns both halves of the alternating voltage the same way, onto {rail}, in {bridge}.",
        example=_bridge_example,
        patterns=(
            Pattern(
                roles=(role("bridge", "bridge_rectifier", "first second rail return"),),
            ),
            Pattern(
                roles=(
                    role("bridge", DIODES, "first rail"),
                    role("bridge", DIODES, "second rail"),
                    role("bridge", DIODES, "return first"),
                    role("bridge", DIODES, "return second"),
                ),
            ),
        ),
        also=("reservoir",),
        rank=7,
        sums=lambda m: _peak(m, 2),
        fails=(
            "bridge with one diode open: half of the pulses are missing, and the ripple is twice as large",
            "bridge with one diode shorted: every other half wave is shorted; if little stands before it, the fuse opens, "
            "if there is one; behind a capacitor or a large resistor the rail just loses half of its current",
        ),
        source=art(1),
    ),
    BlockKind(
        name="half_wave_rectifier",
        title="half-wave rectifier",
        purpose="{diode} lets every other half wave onto {rail}.",
        example=_half_example,
        patterns=(
            Pattern(
                roles=(role("diode", DIODES, "feed rail"),),
                nets={"feed": (ALTERNATING,), "rail": (lambda view, net: net not in view.grounds,)},
                where=lambda m: m.touches("rail", "electrolytic_capacitor capacitor film_capacitor")
                and not m.touches("rail", DIODES, "cathode") and m.nets["rail"] not in m.view.alternating,
            ),
        ),
        also=("reservoir",),
        rank=5,
        sums=lambda m: _peak(m, 1),
        fails=(
            "diode open: the rail is dead",
            "diode shorted: alternating voltage reaches the capacitor, which may burst",
        ),
        source=art(1),
    ),
    BlockKind(
        name="centre_tap_rectifier",
        title="rectifier with centre tap",
        purpose="{first_diode} and {second_diode} take turns: each half of the winding feeds {rail} for half of the time.",
        example=_tap_example,
        patterns=(
            Pattern(
                roles=(
                    role("first_diode", DIODES, "first rail"),
                    role("second_diode", DIODES, "second rail"),
                    role("winding", "three_winding_transformer", "- - first tap tap second", shared=True),
                ),
                nets={"first": (ALTERNATING,), "second": (ALTERNATING,)},
            ),
        ),
        also=("mains_transformer", "reservoir"),
        rank=7,
        fails=(
            "first_diode open: half of the pulses are missing, and the ripple is twice as large",
            "first_diode shorted: the winding is shorted every other half wave",
        ),
        source=art(1),
    ),
    BlockKind(
        name="reservoir",
        title="reservoir capacitor",
        purpose="{capacitor} keeps {rail} up between the pulses of the rectifier.",
        example=_half_example,
        patterns=(
            Pattern(
                roles=(role("capacitor", "electrolytic_capacitor", "rail return"),),
                nets={"rail": (is_rectified,), "return": (GROUND,)},
            ),
            Pattern(
                roles=(role("capacitor", "capacitor film_capacitor", "rail return"),),
                nets={"rail": (is_rectified,), "return": (GROUND,)},
                where=lambda m: (m.number("capacitor", "capacitance") or 0.0) >= 1e-6,
            ),
        ),
        also=("half_wave_rectifier",),
        rank=9,
        sums=_kept,
        fails=(
            "capacitor dried out: the rail pulses with the mains, and what hangs on it may start over or flicker",
            "capacitor shorted: the rectifier feeds a short",
        ),
        source=art(1),
    ),
)  # fmt: skip
