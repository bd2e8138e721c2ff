"""Plain ways to feed a load: a switch in the line, and something in series that takes off a part of the voltage."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import (
    ALTERNATING,
    GROUND,
    NOT_RAIL,
    SUPPLY,
    BlockKind,
    Pattern,
    Sums,
    chain,
    either,
    role,
)
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, PRACTICE
from lidoff.insight.view import View

__all__ = ["MEMBERS"]

SOURCES = frozenset({"dc_supply", "ac_supply", "cell", "battery"})
PASSING = frozenset(
    {"fuse", "resettable_fuse", "switch", "diode", "schottky", "inductor", "bridge_rectifier"}
)
FED = either(SUPPLY, ALTERNATING)
LOADS = "motor lamp heater buzzer"


def _switch_example() -> Circuit:
    return sketch(
        "Power switch",
        piece("BT1", "battery", "vbat gnd"),
        piece("S1", "switch", "vbat run"),
        piece("M1", "motor", "run gnd"),
    )


def _dropping_example() -> Circuit:
    return sketch(
        "Motor behind a diode and a resistor",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("D1", "diode", "v5 a"),
        piece("R1", "resistor", "a run", resistance=2.2),
        piece("M1", "motor", "run gnd"),
    )


def _feeds_a_load(view: View, net: str) -> bool:
    return any(one.kind in LOADS.split() for one, _ in view.pins[net])


def _nearer_the_source(m: Match) -> bool:
    """The feed end is the one that reaches a source without this switch, or the only one that is a supply."""
    return _reaches_a_source(m.view, m.nets["feed"], m.part("switch").reference)


def _reaches_a_source(view: View, net: str, without: str) -> bool:
    seen, todo = {net}, [net]
    while todo:
        here = todo.pop()
        for one, pin in view.pins[here]:
            if one.kind in SOURCES and pin != "minus":
                return True
            if one.kind in PASSING and one.reference != without:
                todo += [far for far in one.nets.values() if far not in seen and far not in view.grounds]
                seen |= set(one.nets.values())
    return False


def _switch_sums(m: Match) -> Sums:
    return (
        m.sum("voltage lost in the contact", "R · I", "V", OHM, at="switch",
              beside=m.beside_across("switch", "feed", "switched"),
              R=m.quantity("switch", "contact_resistance"), I=m.amperes("switch")),
    )  # fmt: skip


def _switch_unusual(m: Match) -> tuple[str, ...]:
    amperes, rating = m.peak("switch"), m.number("switch", "current_rating")
    if "current_rating" not in m.part("switch").part.values:
        return ()
    if amperes is not None and rating and amperes.value > rating:
        return (f"the switch carries up to {amperes}, more than its rated current",)
    return ()


def _dropping_sums(m: Match) -> Sums:
    at = "resistor" if m.has("resistor") else "diode"
    return (
        m.sum("voltage taken off", "V_feed − V_load", "V", OHM, at=at, beside=m.beside_voltage("run", busy=at),
              V_feed=m.volts("feed", busy=at), V_load=m.volts("run", busy=at)),
        m.sum("heat in it", "(V_feed − V_load) · I", "W", OHM, at=at, V_feed=m.volts("feed", busy=at),
              V_load=m.volts("run", busy=at), I=m.amperes(at)),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="power_switch",
        title="power switch",
        purpose="{switch} joins {feed} to {switched} by hand.",
        example=_switch_example,
        patterns=(
            Pattern(
                roles=(role("switch", "switch", "feed switched"),),
                nets={"feed": (FED,), "switched": (FED,)},
                where=_nearer_the_source,
            ),
            Pattern(
                roles=(role("switch", "switch", "feed switched"),),
                nets={"feed": (GROUND,), "switched": (GROUND,)},
                where=lambda m: m.touches("feed", "cell battery dc_supply", "minus"),
            ),
        ),
        rank=3,
        sums=_switch_sums,
        unusual=_switch_unusual,
        fails=(
            "switch worn: its contact takes a part of the voltage, and gets warm",
            "switch open: what hangs on {switched} is dead",
        ),
        source=PRACTICE,
    ),
    BlockKind(
        name="dropping_feed",
        title="dropping diode or resistor",
        purpose="What stands between {feed} and {run} takes off a part of the voltage, so that the load gets less.",
        example=_dropping_example,
        patterns=(
            Pattern(
                roles=(chain("feed", "run", diode=(0, 3), resistor=(1, 2)),),
                nets={"feed": (SUPPLY,), "run": (NOT_RAIL, _feeds_a_load)},
            ),
            Pattern(
                roles=(chain("feed", "run", diode=(1, 3)),),
                nets={"feed": (SUPPLY,), "run": (NOT_RAIL, _feeds_a_load)},
            ),
        ),
        rank=3,
        sums=_dropping_sums,
        fails=(
            "resistor open: the load is dead",
            "resistor shorted: the load gets more voltage than it was meant to",
            "diode shorted: the load gets more voltage than it was meant to",
        ),
        source=OHM,
    ),
)
