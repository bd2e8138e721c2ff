"""A resistor that empties a capacitor after the power is gone."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.blocks.mains_filter import at_the_source
from lidoff.insight.blocks.rectifier import is_rectified, source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, GROUND, BlockKind, Chain, NetTest, Pattern, Role, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.solved import OverTime
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import PlacedPart
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

LEAST = 10e3
"""Resistance from which one counts as a bleeder and not as a load [Ω]; our choice."""
MOST = 4
"""Resistors that share the voltage at most; our choice."""
TOUCHABLE = Quantity(34.0, "V")
"""Voltage that pins of a plug may show one second after it was pulled: IEC 60335-1, 22.5 (from memory)."""

ALONE = (
    "; 34 V after IEC 60335-1, 22.5 (from memory); for this capacitor alone: others that empty through the same resistors make "
    "it longer, as told under stored charge"
)


def _example() -> Circuit:
    return sketch(
        "Bleeder across a mains capacitor",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("C1", "film_capacitor", "live neutral", capacitance=220e-9),
        piece("R1", "resistor", "live neutral", resistance=1e6),
        piece("D1", "bridge_rectifier", "live neutral high gnd"),
        piece("C2", "electrolytic_capacitor", "high gnd", capacitance=10e-6),
    )


def _high(one: PlacedPart) -> bool:
    return (one.value("resistance") or 0.0) >= LEAST


def _high_together(m: Match) -> bool:
    ohms = m.total("bleeder", "resistance")
    return ohms is not None and ohms.value >= LEAST


def _across(capacitors: str, **nets: tuple[NetTest, ...]) -> tuple[Pattern, ...]:
    """Across a capacitor one resistor, or several one after the other."""
    kept = role("capacitor", capacitors, "one other", shared=True)
    ways: tuple[Role | Chain, ...] = (
        role("bleeder", "resistor", "one other", where=_high),
        Chain(start="one", end="other", counts={"resistor": (2, MOST)}, renamed={"resistor": "bleeder"}),
    )
    return tuple(Pattern(roles=(kept, way), nets=nets, where=_high_together) for way in ways)


def _full(m: Match) -> OverTime | None:
    """Highest voltage that the capacitor has where it is solved and not on the mains itself."""
    if m.nets["one"] in m.view.alternating:
        return None
    return m.highest_across("capacitor") or m.highest_between("one", "other")


def _sees_the_mains(m: Match) -> bool:
    """Whether the mains' peak reaches the capacitor: it lies on the mains, or behind a rectifier that lies on them."""
    if m.nets["one"] in m.view.alternating:
        return True
    feeds = [
        net
        for one, pin in m.view.pins[m.nets["one"]]
        if (one.kind == "bridge_rectifier" and pin == "plus")
        or (one.kind in ("diode", "schottky") and pin == "cathode")
        for net in one.nets.values()
        if net in m.view.alternating
    ]
    return bool(feeds) and all(at_the_source(m.view, net) for net in feeds)


def _sums(m: Match) -> Sums:
    ohms, farads, mains = (
        m.total("bleeder", "resistance"),
        m.farads("capacitor"),
        source_of(m.view, "voltage"),
    )
    full = _full(m)
    heat = f"heat in {'the bleeder' if m.count('bleeder') == 1 else 'all bleeders together'} all day"
    return (
        m.sum("time constant", "R · C", "s", art(1), R=ohms, C=farads),
        m.sum("time from its highest voltage to a touchable one", "R · C · ln(V ÷ V_t)", "s", art(1) + ALONE,
              situation=full.situation, R=ohms, C=farads, V=full.quantity, V_t=TOUCHABLE)
        if full is not None and full.quantity.value > TOUCHABLE.value
        else m.sum("time from the mains' peak to a touchable voltage", "R · C · ln(√(2) · U ÷ V_t)", "s", art(1) + ALONE,
                   R=ohms, C=farads, U=mains, V_t=TOUCHABLE)
        if full is None and _sees_the_mains(m)
        else None,
        m.sum(heat, "U^2 ÷ R", "W", OHM, U=mains, R=ohms) if m.nets["one"] in m.view.alternating else None,
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="bleeder",
        title="bleeder",
        purpose="Empties {capacitor} once the power is gone, through {bleeder}, so that it holds no charge for a hand.",
        example=_example,
        patterns=(
            *_across("film_capacitor capacitor", one=(ALTERNATING,)),
            *_across("electrolytic_capacitor", one=(is_rectified,), other=(GROUND,)),
        ),
        also=("bridge_rectifier", "mains_filter", "reservoir"),
        rank=5,
        sums=_sums,
        fails=(
            "bleeder one open: {capacitor} keeps its charge for minutes or longer after the power is gone",
        ),
        source=art(9),
    ),
)
