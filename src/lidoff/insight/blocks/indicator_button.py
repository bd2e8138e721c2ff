"""An indicator and a button on one pin."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import DRIVEN, GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, chain, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Indicator and button on one pin",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", key="both key"),
        piece("R1", "resistor", "key line", resistance=220.0),
        piece("R2", "resistor", "vbat a", resistance=470.0),
        piece("D1", "led", "a line"),
        piece("S1", "button", "line gnd"),
    )


def _sums(m: Match) -> Sums:
    high, drop = m.volts("feed", busy="led"), m.quantity("led", "forward_drop")
    return (
        m.sum("indicator current while the pin is low", "(V − V_F) ÷ (R_LED + R_pin)", "A", OHM,
              at="led", resting=True, V=high, V_F=drop, R_LED=m.total("resistor", "resistance"),
              R_pin=m.ohms("pin_resistor") if m.has("pin_resistor") else m.plain(0.0, "Ω")),
        m.sum("indicator current while the button is held", "(V − V_F) ÷ R_LED", "A", OHM, at="led", resting=True,
              beside=m.beside_current("led"), V=high, V_F=drop, R_LED=m.total("resistor", "resistance")),
        m.sum("current out of the pin if it is high while the button is held", "V ÷ R_pin", "A", OHM, at="led", resting=True,
              V=high, R_pin=m.ohms("pin_resistor")) if m.has("pin_resistor") else None,
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = ["the indicator lights whenever the button is held, whatever the controller wants"]
    if not m.has("pin_resistor"):
        found.append(
            "no resistor spares the pin: held while the pin is high, the button shorts it to the ground"
        )
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="indicator_button",
        title="indicator and button on one pin",
        purpose="One pin lights {led} by pulling the line low and reads {button} when it lets go, which saves a pin.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("button", "button", "line ground"),
                    chain("feed", "line", led=(1, 1), resistor=(1, 2)),
                    role("pin_resistor", "resistor", "line pin"),
                ),
                nets={"ground": (GROUND,), "feed": (SUPPLY,), "pin": (DRIVEN, NOT_RAIL), "line": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(
                    role("button", "button", "pin ground"),
                    chain("feed", "pin", led=(1, 1), resistor=(1, 2)),
                ),
                nets={"ground": (GROUND,), "feed": (SUPPLY,), "pin": (DRIVEN, NOT_RAIL)},
            ),
        ),
        rank=8,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "button stuck closed: the indicator stays lit and the controller sees a button held for ever",
            "led open: no indicator; the button works on",
            "led shorted: {resistor} pulls the line up all the time, and the button works on",
            "pin_resistor open: neither the indicator nor the button works",
        ),
        source=PRACTICE,
    ),
)
