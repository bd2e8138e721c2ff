"""A capacitor across the mains, against noise."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.rectifier import source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import PRACTICE, art
from lidoff.insight.view import View

__all__ = ["MEMBERS", "at_the_source"]


def _example() -> Circuit:
    return sketch(
        "Capacitor across the mains",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live neutral", capacitance=100e-9),
        piece("D1", "bridge_rectifier", "live neutral high gnd"),
        piece("C2", "electrolytic_capacitor", "high gnd", capacitance=10e-6),
    )


def at_the_source(view: View, net: str) -> bool:
    """Whether the net is an alternating source's own, or a fuse, coil or small resistor away from it."""
    near = {net}
    for one, _ in view.pins[net]:
        if one.kind in ("fuse", "inductor", "ntc") or (
            one.kind == "resistor" and (one.value("resistance") or 1e9) < 2e3
        ):
            near.update(one.nets.values())
    return any(near & set(one.nets.values()) for one in view.by_kind.get("ac_supply", ()))


def _across(m: Match) -> bool:
    """Both ends lie on the mains and on the rectifier or what else takes its power."""
    takers = "bridge_rectifier diode transformer three_winding_transformer triac"
    return m.touches("one", takers + " motor") and m.touches("other", takers + " ac_supply fuse motor")


def _sums(m: Match) -> Sums:
    return (
        m.sum("current that it takes all the time, without power", "2 · π · f · C · U", "A", art(1),
              f=source_of(m.view, "frequency"), C=m.farads("capacitor"), U=source_of(m.view, "voltage")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="mains_filter",
        title="mains noise capacitor",
        purpose="{capacitor} shorts fast noise between the two mains lines.",
        example=_example,
        patterns=(
            Pattern(
                roles=(role("capacitor", "film_capacitor capacitor", "one other"),),
                nets={"one": (ALTERNATING, at_the_source), "other": (ALTERNATING, at_the_source)},
                where=_across,
            ),
        ),
        also=("bridge_rectifier", "reservoir"),
        rank=4,
        sums=_sums,
        fails=(
            "capacitor open: more noise on the mains, and nothing to notice otherwise",
            "capacitor shorted: the fuse opens; without a fuse it burns, unless it is of a class made for this place",
        ),
        source=PRACTICE,
    ),
)
