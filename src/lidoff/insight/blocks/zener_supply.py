"""A Zener diode that holds a rail, fed through a resistor."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Zener supply",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 v5", resistance=470.0),
        piece("D1", "zener", "gnd v5", breakdown_voltage=5.1),
        piece("C1", "electrolytic_capacitor", "v5 gnd", capacitance=47e-6),
        chip("U1", supply="supply v5", ground="ground gnd", out="output out"),
    )


def _sums(m: Match) -> Sums:
    volts, held, ohms = (
        m.volts("feed", busy="resistor"),
        m.quantity("zener", "breakdown_voltage"),
        m.ohms("resistor"),
    )
    return (
        m.sum("current through the resistor, for rail and Zener diode together", "(V − V_Z) ÷ R", "A", OHM,
              at="resistor", beside=m.beside_current("resistor"), V=volts, V_Z=held, R=ohms),
        m.sum("heat in the Zener diode if the rail takes nothing", "V_Z · (V − V_Z) ÷ R", "W", art(9), at="resistor",
              V=volts, V_Z=held, R=ohms),
        m.sum("heat in the resistor", "(V − V_Z)^2 ÷ R", "W", OHM, at="resistor", V=volts, V_Z=held, R=ohms),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    amperes = m.amperes("zener")
    if amperes is not None and amperes.value < 0.2e-3:
        return ("the Zener diode carries next to nothing: the rail is not held, it only follows its feed",)
    return ()


MEMBERS = (
    BlockKind(
        name="zener_supply",
        title="Zener supply",
        purpose="{resistor} feeds {rail}, and {zener} takes what the rail does not, so that its voltage stays.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("zener", "zener", "ground rail"),
                    role("resistor", "resistor", "feed rail"),
                    role("reservoir", "electrolytic_capacitor", "rail ground", optional=True),
                ),
                nets={
                    "ground": (GROUND,),
                    "rail": (lambda view, net: net not in view.grounds,),
                    "feed": (SUPPLY,),
                },
                where=lambda m: bool(m.others("rail")),
            ),
        ),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "zener open: {rail} rises towards the voltage of {feed}, and what it feeds may die",
            "zener shorted: the rail is dead and {resistor} gets hot",
            "resistor open: the rail is dead",
        ),
        source=art(9),
    ),
)
