"""A diode that takes over the current of a coil or motor when its switch opens."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, NetTest, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import art
from lidoff.insight.which_way import is_switched, supplied_end

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Flyback diode",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("V1", "pulse_supply", "gate gnd", high=5.0, width=1e-4, period=1e-3),
        piece("D1", "schottky", "low vbat"),
    )


def _reversed_example() -> Circuit:
    return sketch(
        "Diode the wrong way round across a motor",
        piece("BT1", "battery", "vbat gnd"),
        piece("M1", "motor", "vbat low"),
        piece("Q1", "mosfet_n", "gate low gnd"),
        piece("V1", "pulse_supply", "gate gnd", high=5.0, width=1e-4, period=1e-3),
        piece("D1", "schottky", "vbat low"),
    )


def _sums(m: Match) -> Sums:
    return (
        m.sum(
            "highest voltage at the switched end as the switch opens",
            "V + V_F",
            "V",
            art(1),
            at="load",
            V=m.volts("high", busy="load"),
            V_F=m.quantity("diode", "forward_drop"),
        ),
        m.sum(
            "current that it takes over",
            "I",
            "A",
            art(1),
            at="load",
            beside=m.beside_current("load")[1:],
            I=m.amperes("load"),
        ),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    amperes, rating = m.peak("load"), m.number("diode", "current_rating")
    if amperes is not None and rating and amperes.value > rating:
        return (
            f"the load carries up to {amperes}, more than the diode's rated current; it lasts only because the pulses "
            "are short",
        )
    return ()


def _overloaded(m: Match) -> tuple[str, ...]:
    amperes, rating = m.peak("diode"), m.number("diode", "current_rating")
    if amperes is not None and rating and amperes.value > rating:
        return (
            f"the diode carries up to {amperes} for as long as the switch is on, more than its rated current",
        )
    return ()


def _patterns(diode: str, where: Callable[[Match], bool]) -> tuple[Pattern, ...]:
    """Ways in which a diode lies across a load that keeps its current going; the diode's two ends, anode first."""

    def one(
        kind: str, pins: str, test: Callable[[Match], bool] = where, **nets: tuple[NetTest, ...]
    ) -> Pattern:
        return Pattern(
            roles=(role("load", kind, pins, shared=True), role("diode", "diode schottky", diode)),
            nets=nets,
            where=test,
            loose=("high",) if kind == "relay" else (),
        )

    return (
        # a motor may be meant to turn either way
        *(one("motor", pins, low=(NOT_RAIL,)) for pins in ("high low", "low high")),
        *(one("motor", pins, high=(NOT_RAIL,)) for pins in ("high low", "low high")),
        one(
            "motor",
            "high low",
            lambda m: m.touches("high", "switch relay") and where(m),
            high=(SUPPLY,),
            low=(GROUND,),
        ),
        one("relay", "high low - - -"),
        one("inductor", "high low"),
    )


def _reversed_sums(m: Match) -> Sums:
    return (
        m.sum(
            "voltage that is left for the load",
            "V_D",
            "V",
            art(1),
            at="diode",
            V_D=m.volts("high", "low", busy="diode")
            if m.situations()
            else m.quantity("diode", "forward_drop"),
        ),
        m.sum("current that it carries past the load", "I", "A", art(1), at="diode", I=m.amperes("diode")),
    )


def _is_wrong_way_round(m: Match) -> bool:
    """Whether its anode is towards the supply; a coil that nothing switches may be passed by a diode on purpose."""
    switched = m.part("load").kind != "inductor" or is_switched(m, "high", "low")
    return switched and supplied_end(m, "high", "low") == "high"


MEMBERS = (
    BlockKind(
        name="flyback_diode",
        title="flyback diode",
        purpose="{diode} lets the current of {load} run on when the switch opens, and so spares the switch the voltage kick.",
        example=_example,
        patterns=_patterns("low high", lambda m: supplied_end(m, "high", "low") == "high"),
        also=("low_side_mosfet",),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "diode open: the switch sees a voltage kick each time it opens, and fails sooner or later",
            "diode shorted: the switch is tied to the supply and burns when it closes",
        ),
        source=art(1),
    ),
    BlockKind(
        name="reversed_flyback_diode",
        title="diode the wrong way round across a coil",
        purpose="{diode} stands across {load} the wrong way round: it conducts while the switch is on and shorts the supply "
        "through it, instead of leaving the voltage to {load}. A flyback diode has its cathode towards the supply.",
        example=_reversed_example,
        patterns=_patterns("high low", _is_wrong_way_round),
        also=("low_side_mosfet",),
        rank=6,
        sums=_reversed_sums,
        unusual=_overloaded,
        fails=(
            "diode open: {load} gets its voltage, and the switch sees a voltage kick each time it opens",
            "diode shorted: {load} gets nothing, and the switch shorts the supply when it closes",
        ),
        source=art(1),
    ),
)
