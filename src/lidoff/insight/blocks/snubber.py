"""A resistor and a capacitor in series across something that switches."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, BlockKind, Pattern, Sums, chain, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art, erickson

__all__ = ["MEMBERS"]

SWITCHING = frozenset(
    {
        ("mosfet_n", "drain"), ("mosfet_p", "drain"), ("npn", "collector"), ("pnp", "collector"), ("triac", "main_1"),
        ("triac", "main_2"), ("thyristor", "anode"), ("relay", "normally_open"), ("relay", "normally_closed"),
        ("relay", "common"), ("switch", "1"), ("switch", "2"), ("transformer", "primary_1"), ("transformer", "primary_2"),
        ("transformer", "secondary_1"), ("transformer", "secondary_2"), ("inductor", "1"), ("inductor", "2"),
        ("motor", "plus"), ("motor", "minus"),
    }
)  # fmt: skip


def _example() -> Circuit:
    return sketch(
        "Snubber across a triac",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("H1", "heater", "live load", rated_voltage=230.0, rated_power=100.0),
        piece("Q1", "triac", "load neutral gate"),
        chip("U1", "box", supply="supply vcc", ground="ground neutral", gate="output gate"),
        piece("R1", "resistor", "load middle", resistance=47.0),
        piece("C1", "film_capacitor", "middle neutral", capacitance=100e-9),
        ground="neutral",
    )


def _clamp_example() -> Circuit:
    return sketch(
        "Clamp across a winding",
        piece("J1", "dc_supply", "high gnd", voltage=300.0),
        piece("T1", "transformer", "high switched out_a out_b"),
        piece("Q1", "mosfet_n", "gate switched gnd", drain_source_rating=600.0),
        chip("U1", "box", supply="supply vcc", ground="ground gnd", gate="output gate"),
        piece("D1", "diode", "switched kept"),
        piece("R1", "resistor", "kept high", resistance=100e3),
        piece("C1", "film_capacitor", "kept high", capacitance=1e-9),
    )


def _across_a_switch(m: Match) -> bool:
    """Some one part that switches, or stores, has a pin on either end."""
    ends = (m.nets["one"], m.nets["other"])
    mine = {part.reference for parts in m.roles.values() for part in parts}
    return any(
        (one.kind, pin) in SWITCHING and one.reference not in mine and set(ends) <= set(one.nets.values())
        for net in ends
        for one, pin in m.view.pins[net]
    )


def _capacitor(m: Match) -> str:
    return next(name for name in ("capacitor", "film_capacitor") if m.has(name))


def _sums(m: Match) -> Sums:
    farads, ohms = m.farads(_capacitor(m)), m.ohms("resistor")
    return (
        m.sum("time constant", "R · C", "s", art(1), R=ohms, C=farads),
        m.sum(
            "frequency above which only the resistor is seen",
            "1 ÷ (2 · π · R · C)",
            "Hz",
            art(1),
            R=ohms,
            C=farads,
        ),
    )


def _clamp_sums(m: Match) -> Sums:
    return (
        m.sum("time constant of the clamp", "R · C", "s", erickson(6), R=m.ohms("resistor"), C=m.farads("capacitor")),
        m.sum("heat for each 100 V across the resistor", "V^2 ÷ R", "W", OHM, V=m.plain(100.0, "V"), R=m.ohms("resistor")),
    )  # fmt: skip


def _patterns() -> tuple[Pattern, ...]:
    return (
        Pattern(
            roles=(chain("one", "other", resistor=(1, 1), capacitor=(1, 1)),),
            where=_across_a_switch,
        ),
        Pattern(
            roles=(chain("one", "other", resistor=(1, 1), film_capacitor=(1, 1)),),
            where=_across_a_switch,
        ),
    )


MEMBERS = (
    BlockKind(
        name="clamp",
        title="clamp across a winding",
        purpose="{diode} leads the voltage kick of {switched} into {capacitor}, and {resistor} turns it into heat.",
        example=_clamp_example,
        also=("low_side_mosfet",),
        patterns=(
            Pattern(
                roles=(
                    role("diode", "diode schottky", "switched kept"),
                    role("resistor", "resistor", "kept high"),
                    role("capacitor", "capacitor film_capacitor", "kept high"),
                    role("transformer", "transformer", "high switched - -", shared=True),
                ),
                nets={"switched": (NOT_RAIL,)},
            ),
        ),
        rank=7,
        sums=_clamp_sums,
        fails=(
            "diode open: the switch sees the whole kick, and fails",
            "resistor open: the capacitor fills up, the clamp no longer takes anything, and the switch fails",
            "capacitor open: the resistor alone is too slow, and the switch may fail",
        ),
        source=erickson(6),
    ),
    BlockKind(
        name="snubber",
        title="snubber",
        purpose="{resistor} and the capacitor in series with it take the sharpest edge off the voltage "
        "between {one} and {other}.",
        example=_example,
        patterns=_patterns(),
        rank=6,
        sums=_sums,
        fails=(
            "resistor open: edges are sharper; it works on until the switch does not stand them any more",
            "capacitor shorted: {resistor} takes the whole voltage and burns",
            "film_capacitor shorted: {resistor} takes the whole voltage and burns",
        ),
        source=art(12),
    ),
)
