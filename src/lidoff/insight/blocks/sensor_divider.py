"""A sensor whose resistance changes, with a fixed resistor."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import DRIVEN, GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, either, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import View

__all__ = ["MEMBERS"]

SENSORS = "ntc photoresistor"


def _switched_on(view: View, net: str) -> bool:
    """A transistor joins the net to a supply."""
    return any(
        (one.kind == "mosfet_p" and pin == "drain" and one.nets["source"] in view.supplies)
        or (one.kind == "pnp" and pin == "collector" and one.nets["emitter"] in view.supplies)
        for one, pin in view.pins[net]
    )


FED = either(SUPPLY, DRIVEN, _switched_on)


def _example() -> Circuit:
    return sketch(
        "Light sensor",
        piece("BT1", "battery", "vbat gnd"),
        piece("R1", "resistor", "vbat sense", resistance=47e3),
        piece("R2", "photoresistor", "sense gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", sense="input sense"),
    )


def _used(m: Match) -> bool:
    return bool(m.others("tap"))


def _sums(m: Match) -> Sums:
    below = m.nets["bottom"] in m.part("sensor").nets.values()
    across = m.volts("tap", "bottom", busy="sensor") if below else m.volts("top", "tap", busy="sensor")
    return (
        m.sum("resistance of the sensor there", "V_sensor ÷ I", "Ω", OHM, at="sensor",
              V_sensor=across, I=m.amperes("sensor")),
        m.sum("voltage of the tap when sensor and resistor are equal", "V ÷ 2", "V", OHM, at="sensor",
              V=m.volts("top", busy="sensor")),
        m.sum("largest current through the sensor", "V ÷ R", "A", OHM, at="sensor", beside=m.beside_current("sensor"),
              V=m.volts("top", busy="sensor"), R=m.ohms("resistor")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="sensor_divider",
        title="sensor divider",
        purpose="{sensor} and {resistor} turn what the sensor feels into a voltage at {tap}; the tap is in the middle where "
        "the sensor's resistance equals that of {resistor}.",
        example=_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("sensor", SENSORS, pins[0]),
                    role("resistor", "resistor", pins[1]),
                    role("filter", "capacitor electrolytic_capacitor", "tap bottom", optional=True),
                ),
                nets={"bottom": (GROUND,), "top": (FED,), "tap": (NOT_RAIL,)},
                where=_used,
            )
            for pins in (("tap bottom", "tap top"), ("top tap", "tap bottom"))
        ),
        rank=6,
        sums=_sums,
        fails=(
            "sensor open: the tap goes to the end of the range, as if the sensor felt its extreme",
            "sensor shorted: the tap goes to the other end",
            "resistor open: the tap follows the sensor's end, whatever the sensor feels",
            "filter shorted: the tap lies on the ground",
        ),
        source=art(1),
    ),
)
