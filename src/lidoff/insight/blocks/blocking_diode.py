"""A diode that lets a cell be filled and keeps it from running back into what filled it."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, PRACTICE

__all__ = ["MEMBERS"]


def _example() -> Circuit:
    return sketch(
        "Cell filled through a diode",
        piece("J1", "dc_supply", "panel gnd", voltage=2.0),
        piece("D1", "schottky", "panel plus"),
        piece("BT1", "cell", "plus gnd"),
    )


def _no_charger(m: Match) -> bool:
    sources, others = "dc_supply connector box", "cell battery inductor transformer motor relay mosfet_n npn"
    return (
        m.touches("source", sources)
        and not m.touches("source", others)
        and not m.touches("plus", "linear_charger")
    )


def _sums(m: Match) -> Sums:
    drop = m.quantity("diode", "forward_drop")
    return (
        m.sum("voltage that the cell gets at most", "V − V_F", "V", OHM, at="diode",
              beside=m.beside_voltage("plus", busy="diode"), V=m.volts("source", busy="diode"), V_F=drop),
        m.sum("heat in the diode", "V_F · I", "W", OHM, at="diode", V_F=drop, I=m.amperes("diode")),
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    return (
        f"nothing but the source ends the charge of {m.part('cell').reference}; whether it stands that is its kind's matter",
    )


MEMBERS = (
    BlockKind(
        name="blocking_diode",
        title="blocking diode",
        purpose="{diode} lets {source} fill {cell} and keeps {cell} from running back into it.",
        example=_example,
        patterns=(
            Pattern(
                roles=(
                    role("diode", "diode schottky", "source plus"),
                    role("cell", "cell battery", "plus -", shared=True),
                ),
                where=_no_charger,
            ),
        ),
        rank=6,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "diode open: the cell is no longer filled",
            "diode shorted: the cell runs down through its source when that gives nothing",
        ),
        source=PRACTICE,
    ),
)
