"""Two resistors that divide a voltage."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import DRIVEN, GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, either, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Divider",
        piece("BT1", "battery", "vbat gnd"),
        piece("R1", "resistor", "vbat sense", resistance=100e3),
        piece("R2", "resistor", "sense gnd", resistance=47e3),
        chip("U1", supply="supply vbat", ground="ground gnd", sense="input sense"),
    )


def _looked_at(m: Match) -> bool:
    """Something takes the tap's voltage, and no button or base hangs there that makes the resistors pull-ups."""
    pins = m.view.pins[m.nets["tap"]]
    others = [(one, pin) for one, pin in pins if one.reference not in m.required | m.optional]
    mated = [
        one
        for one, pin in others
        if one.kind
        in (
            "button",
            "switch",
            "ntc",
            "photoresistor",
            "phototransistor",
            "photodiode",
            "led",
            "motor",
            "relay",
        )
        or (one.kind.startswith("mosfet") and pin in ("drain", "source"))
        or (one.kind in ("npn", "pnp", "optocoupler") and pin == "collector")
        or (one.kind == "controller" and one.part.pin_roles.get(pin) == "output")
    ]
    gated = [one for one, pin in others if pin == "gate"]
    return (
        bool(others)
        and not mated
        and not (gated and m.view.is_driven(m.nets["top"]) and m.nets["top"] not in m.view.rails)
    )


def _sums(m: Match) -> Sums:
    high = m.volts("top", busy="upper")
    return (
        m.sum(
            "tap voltage without load",
            "V · R_low ÷ (R_up + R_low)",
            "V",
            OHM,
            at="upper",
            beside=m.beside_voltage("tap", busy="upper"),
            V=high,
            R_up=m.quantity("upper", "resistance"),
            R_low=m.quantity("lower", "resistance"),
        ),
        m.sum(
            "current that the divider itself takes",
            "V ÷ (R_up + R_low)",
            "A",
            OHM,
            at="upper",
            beside=m.beside_current("upper"),
            V=high,
            R_up=m.quantity("upper", "resistance"),
            R_low=m.quantity("lower", "resistance"),
        ),
        m.sum(
            "resistance seen from the tap",
            "R_up · R_low ÷ (R_up + R_low)",
            "Ω",
            art(1) + ", Thévenin's theorem",
            R_up=m.quantity("upper", "resistance"),
            R_low=m.quantity("lower", "resistance"),
        ),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    upper, lower = m.number("upper", "resistance"), m.number("lower", "resistance")
    if upper and lower and upper * lower / (upper + lower) > 200e3:
        return ("a meter of 10 MΩ at the tap lowers it by more than 2 %: take the meter into account",)
    return ()


MEMBERS = (
    BlockKind(
        name="divider",
        title="voltage divider",
        purpose="{upper} and {lower} hand a fixed part of the voltage of {top} on to {tap}.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("lower", "resistor", "tap bottom"),
                    role("upper", "resistor", "tap top"),
                    role("filter", "capacitor", "tap bottom", optional=True),
                ),
                nets={
                    "bottom": (GROUND,),
                    "tap": (NOT_RAIL,),
                    "top": (either(SUPPLY, DRIVEN),),
                },
                where=_looked_at,
            ),
        ),
        rank=3,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "upper open: {tap} falls to the ground",
            "lower open: {tap} rises to the voltage of {top}, which may be more than the input stands",
            "filter shorted: {tap} lies on the ground",
        ),
        source=art(1),
    ),
)
