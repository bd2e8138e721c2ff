"""A button that a chip reads, bare or with a capacitor that swallows its bounce."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SENSED, SUPPLY, BlockKind, Pattern, Role, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE, art

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor film_capacitor"
BOUNCE = 5e-3
"""Time for which a small push button bounces at the most [s]; common practice, no source."""


def _bare_example() -> Circuit:
    return sketch(
        "Button on a pin",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", key="input key"),
        piece("S1", "button", "key gnd"),
    )


def _debounced_example() -> Circuit:
    return sketch(
        "Debounced button",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", key="input key"),
        piece("S1", "button", "key gnd"),
        piece("R1", "resistor", "vbat key", resistance=10e3),
        piece("C1", "capacitor", "key gnd", capacitance=1e-6),
    )


def _sums(m: Match) -> Sums:
    high = m.volts("feed", busy="pull") if "feed" in m.nets else None
    return (
        m.sum("current while the button is held", "V ÷ R", "A", OHM, at="pull", resting=True, beside=m.beside_current("pull"),
              V=high, R=m.ohms("pull")) if m.has("pull") else None,
        m.sum("time constant after the button is let go", "R · C", "s", art(1), R=m.ohms("pull"), C=m.farads("capacitor"))
        if m.has("capacitor") else None,
    )  # fmt: skip


def _bare_unusual(m: Match) -> tuple[str, ...]:
    if m.has("pull"):
        return ()
    return (
        "no resistor gives the line its level: a pull inside the chip has to, and bounce is left to the firmware",
    )


def _debounced_unusual(m: Match) -> tuple[str, ...]:
    ohms, farads = m.number("pull", "resistance"), m.number("capacitor", "capacitance")
    found = []
    if ohms and farads and ohms * farads < BOUNCE / 5.0:
        found.append(
            "the time constant is shorter than a button's bounce: the capacitor swallows little of it"
        )
    if not m.has("series"):
        found.append("the button shorts the capacitor directly: its contacts take a brief large current")
    return tuple(found)


def _ends(*roles: Role) -> tuple[Pattern, ...]:
    """Towards the ground with a pull-up, or towards the supply with a pull-down."""
    return (
        Pattern(roles=roles, nets={"far": (GROUND,), "feed": (SUPPLY,), "line": (NOT_RAIL, SENSED)}),
        Pattern(roles=roles, nets={"far": (SUPPLY,), "feed": (GROUND,), "line": (NOT_RAIL, SENSED)}),
    )


FAILS = (
    "button stuck closed: the chip sees a button held for ever",
    "button open: it does nothing when pressed",
    "pull open: the line floats, and buttons seem pressed at random",
)

MEMBERS = (
    BlockKind(
        name="button_input",
        title="button",
        purpose="{button} pulls {line} to {far}, and a chip looks at {line}.",
        example=_bare_example,
        patterns=_ends(
            role("button", "button", "line far"),
            role("pull", "resistor", "line feed", optional=True),
        ),
        rank=4,
        sums=_sums,
        unusual=_bare_unusual,
        fails=FAILS,
        source=PRACTICE,
    ),
    BlockKind(
        name="debounced_button",
        title="debounced button",
        purpose="{button} pulls {line} to {far}; {capacitor} and {pull} swallow the bounce of its contacts.",
        example=_debounced_example,
        patterns=(
            *_ends(
                role("button", "button", "line far"),
                role("pull", "resistor", "line feed"),
                role("capacitor", CAPACITORS, "line far"),
            ),
            Pattern(
                roles=(
                    role("button", "button", "key far"),
                    role("series", "resistor", "key line"),
                    role("pull", "resistor", "key feed"),
                    role("capacitor", CAPACITORS, "line far"),
                ),
                nets={"far": (GROUND,), "feed": (SUPPLY,), "line": (NOT_RAIL, SENSED), "key": (NOT_RAIL,)},
            ),
        ),
        rank=6,
        sums=_sums,
        unusual=_debounced_unusual,
        fails=(
            *FAILS,
            "capacitor open: one press may count as several",
            "capacitor shorted: the chip sees a button held for ever",
        ),
        source=art(10),
    ),
)
