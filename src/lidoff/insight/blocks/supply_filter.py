"""A resistor or coil with capacitors that keeps noise off a local supply."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, SUPPLY, BlockKind, Pattern, Sums, either, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import BOXES, View

__all__ = ["MEMBERS"]

CAPACITORS = "capacitor electrolytic_capacitor"


def _example() -> Circuit:
    return sketch(
        "Filtered supply",
        piece("BT1", "cell", "vbat gnd"),
        piece("R1", "resistor", "vbat vdd", resistance=10.0),
        piece("C1", "capacitor", "vdd gnd", capacitance=1e-6),
        chip("U1", supply="supply vdd", ground="ground gnd", out="output out"),
    )


def _local(m: Match) -> bool:
    """The far side is a supply of its own and the near side feeds chips."""
    kinds = {one.kind for one, _ in m.others("local")}
    return not kinds & {"zener", "shunt_reference", "dc_supply", "cell", "battery", "diode", "schottky"}


def _may_feed(view: View, net: str) -> bool:
    """Only pins of chips whose role nobody told are here, beside the filter: likely a supply pin."""
    pins = [(one, pin) for one, pin in view.pins[net] if one.kind in BOXES]
    return bool(pins) and all(not one.part.pin_roles.get(pin) for one, pin in pins)


def _sums(m: Match) -> Sums:
    ohms, farads = m.ohms("resistor"), m.total("capacitor", "capacitance")
    if m.has("coil"):
        return (
            m.sum("frequency above which it filters", "1 ÷ (2 · π · √(L · C))", "Hz", art(1),
                  L=m.quantity("coil", "inductance"), C=farads),
        )  # fmt: skip
    return (
        m.sum("frequency above which it filters", "1 ÷ (2 · π · R · C)", "Hz", art(1), R=ohms, C=farads),
        m.sum("voltage lost in the resistor", "R · I", "V", OHM, at="resistor",
              beside=m.beside_across("resistor", "feed", "local"),
              R=ohms, I=m.amperes("resistor")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="supply_filter",
        title="supply filter",
        purpose="Keeps the noise of {feed} off {local}, and the noise of what hangs on {local} to itself, with {capacitor}.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role(
                        "resistor",
                        "resistor",
                        "feed local",
                        where=lambda one: (one.value("resistance") or 1e9) <= 1e3,
                    ),
                    role("capacitor", CAPACITORS, "local ground", many=True),
                ),
                nets={"feed": (SUPPLY,), "local": (either(SUPPLY, _may_feed),), "ground": (GROUND,)},
                where=_local,
            ),
            Pattern(
                roles=(
                    role("coil", "inductor", "feed local"),
                    role("capacitor", CAPACITORS, "local ground", many=True),
                ),
                nets={"feed": (SUPPLY,), "local": (either(SUPPLY, _may_feed),), "ground": (GROUND,)},
                where=_local,
            ),
        ),
        rank=6,
        sums=_sums,
        fails=(
            "resistor open: what hangs on {local} is dead",
            "coil open: what hangs on {local} is dead",
            "capacitor open: noise reaches {local}, and a chip there may start over now and then",
            "capacitor shorted: {local} is dead and what feeds it gets warm",
        ),
        source=art(9),
    ),
)
