"""A signal that crosses a gap as light."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Signal across a gap",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("J2", "dc_supply", "v3 other_gnd", voltage=3.3),
        chip("U1", supply="supply v5", ground="ground gnd", send="output send"),
        chip("U2", "box", supply="supply v3", ground="ground other_gnd", seen="input seen"),
        piece("R1", "resistor", "send light", resistance=470.0),
        piece("U3", "optocoupler", "light gnd seen other_gnd"),
        piece("R2", "resistor", "v3 seen", resistance=10e3),
    )


def _sums(m: Match) -> Sums:
    across = m.volts("light", busy="coupler")
    return (
        m.sum("current through the light-emitting diode", "(V − V_F) ÷ R", "A", OHM, at="coupler",
              beside=m.beside_current("light_resistor"),
              V=m.volts("drive", "low", busy="light_resistor") if "drive" in m.nets else across,
              V_F=m.quantity("coupler", "forward_drop"), R=m.ohms("light_resistor")) if m.has("light_resistor") else None,
        m.sum("smallest transfer ratio that still pulls the output down", "V_out · R_L ÷ (R_out · (V − V_F))", "1", art(12),
              at="coupler", V_out=m.volts("out_supply", "emitter"), R_L=m.ohms("light_resistor"), R_out=m.ohms("pull"),
              V=m.volts("drive", "low", busy="light_resistor"), V_F=m.quantity("coupler", "forward_drop"))
        if m.has("light_resistor") and m.has("pull") and "drive" in m.nets and "low" in m.nets else None,
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = []
    if not m.has("light_resistor"):
        found.append("no resistor of its own limits the current of the light-emitting diode")
    grounds = {m.nets["emitter"], m.nets["low"]}
    if len(grounds) == 1:
        found.append("both sides share a net, so the optocoupler parts nothing here")
    return tuple(found)


MEMBERS = (
    BlockKind(
        name="optocoupler",
        title="signal across an optocoupler",
        purpose="{coupler} hands a signal on as light, so that no wire joins the two sides.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("coupler", "optocoupler", "light low out emitter"),
                    role("light_resistor", "resistor", "light drive", optional=True),
                    role("pull", "resistor", "out out_supply", optional=True),
                ),
                nets={"out_supply": (SUPPLY,), "light": (NOT_RAIL,)},
                loose=("low", "emitter", "drive", "out_supply", "light", "out"),
            ),
            Pattern(
                roles=(
                    role("coupler", "optocoupler", "light low out emitter"),
                    role("light_resistor", "resistor", "low drive"),
                    role("pull", "resistor", "out out_supply", optional=True),
                ),
                nets={"out_supply": (SUPPLY,), "low": (NOT_RAIL,)},
                loose=("light", "emitter", "drive", "out_supply", "out"),
            ),
        ),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "coupler aged: it hands less current on, and one day the far side no longer switches",
            "coupler open: the signal does not arrive",
            "light_resistor open: the signal does not arrive",
            "light_resistor shorted: the light-emitting diode in {coupler} burns, or ages fast",
            "pull open: the far side floats while no light comes",
        ),
        source=art(12),
    ),
)
