"""Light that is sent and seen: a phototransistor with its resistor, and an infrared pair."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import (
    DRIVEN,
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
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import PlacedPart

__all__ = ["MEMBERS"]

INFRARED_DROP = 1.6
"""Forward drop below which a light-emitting diode is infrared [V]; common practice, no source."""
FED = either(SUPPLY, DRIVEN)


def _sensor_example() -> Circuit:
    return sketch(
        "Phototransistor",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("Q1", "phototransistor", "v5 seen"),
        piece("R1", "resistor", "seen gnd", resistance=10e3),
        chip("U1", supply="supply v5", ground="ground gnd", seen="input seen"),
    )


def _pair_example() -> Circuit:
    return sketch(
        "Infrared pair",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        chip("U1", supply="supply v5", ground="ground gnd", seen="input seen", pulse="output pulse"),
        piece("R2", "resistor", "pulse a", resistance=100.0),
        piece("D1", "led", "a gnd", forward_drop=1.2),
        piece("R1", "resistor", "v5 seen", resistance=10e3),
        piece("Q1", "phototransistor", "seen gnd"),
    )


def _infrared(m: Match) -> bool:
    return _is_infrared(m.part("led")) and m.nets["one"] != m.nets["other"]


def _is_infrared(one: PlacedPart) -> bool:
    drop = one.value("forward_drop")
    return drop is not None and drop <= INFRARED_DROP


def _used(m: Match) -> bool:
    return bool(m.others("seen"))


def _sensor_sums(m: Match) -> Sums:
    return (
        m.sum("photocurrent that takes the line to the middle", "V ÷ (2 · R)", "A", OHM, at="sensor",
              V=m.volts("feed", busy="sensor"), R=m.ohms("resistor")),
        m.sum("largest current through the sensor", "V ÷ R", "A", OHM, at="sensor", beside=m.beside_current("sensor"),
              V=m.volts("feed", busy="sensor"), R=m.ohms("resistor")),
    )  # fmt: skip


def _pair_sums(m: Match) -> Sums:
    return (
        m.sum("current of the infrared diode", "(V − V_F) ÷ R", "A", OHM, at="led", beside=m.beside_current("led"),
              V=m.volts("one", "other", busy="led"), V_F=m.quantity("led", "forward_drop"),
              R=m.total("resistor", "resistance")),
        m.sum("photocurrent that takes the line to the middle", "V ÷ (2 · R)", "A", OHM, at="led",
              V=m.volts("feed", busy="led"), R=m.ohms("load")),
    )  # fmt: skip


def _sides(resistor: str) -> tuple[tuple[str, str, str, str], ...]:
    """Sensor kind, its pins, and its resistor's pins, with the sensor above or below."""
    return (
        ("phototransistor", "feed seen", resistor, "seen ground"),
        ("phototransistor", "seen ground", resistor, "feed seen"),
        ("photodiode", "seen feed", resistor, "seen ground"),
        ("photodiode", "ground seen", resistor, "feed seen"),
    )


NETS = {"ground": (GROUND,), "feed": (FED,), "seen": (NOT_RAIL,)}

MEMBERS = (
    BlockKind(
        name="light_sensor",
        title="light sensor",
        purpose="{sensor} passes a current that grows with the light, and {resistor} makes a voltage of it at {seen}.",
        example=_sensor_example,
        patterns=tuple(
            Pattern(roles=(role("sensor", kind, pins), role(name, "resistor", ends)), nets=NETS, where=_used)
            for kind, pins, name, ends in _sides("resistor")
        ),
        rank=5,
        sums=_sensor_sums,
        fails=(
            "sensor open: it seems dark for ever",
            "sensor dusty: it seems darker than it is",
            "resistor open: {seen} stays at the sensor's end",
        ),
        source=art(12),
    ),
    BlockKind(
        name="infrared_pair",
        title="infrared emitter and receiver",
        purpose="{led} sends infrared light that {sensor} sees, directly or thrown back; {load} makes a voltage of it "
        "at {seen}. Which way they face cannot be told from the circuit.",
        example=_pair_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("sensor", kind, pins),
                    role(name, "resistor", ends),
                    chain("one", "other", led=(1, 1), resistor=(1, 2)),
                ),
                nets=NETS,
                where=lambda m: _infrared(m) and _used(m),
                loose=("one", "other"),
            )
            for kind, pins, name, ends in _sides("load")
        ),
        rank=7,
        sums=_pair_sums,
        fails=(
            "led dead: nothing is ever seen, and no eye notices, because its light is invisible",
            "sensor open: nothing is ever seen",
            "resistor shorted: {led} takes whatever drives it can give, and ages fast",
        ),
        source=art(12),
    ),
)
