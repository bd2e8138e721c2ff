"""A capacitor in the mains line that takes the place of a transformer."""

from __future__ import annotations

from collections.abc import Callable

from lidoff.circuit import Circuit
from lidoff.insight.blocks.mains_filter import at_the_source
from lidoff.insight.blocks.rectifier import source_of
from lidoff.insight.match import Match
from lidoff.insight.pattern import ALTERNATING, BlockKind, Chain, Pattern, Role, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import OHM, art
from lidoff.insight.view import View
from lidoff.quantities import Quantity

__all__ = ["MEMBERS"]

CAPACITORS = "film_capacitor capacitor"
LEAST_BLEEDER = 50e3
"""Resistance across the capacitor from which it counts as a bleeder [Ω]; our choice."""


def _example() -> Circuit:
    return sketch(
        "Capacitive dropper",
        piece("J1", "ac_supply", "live neutral", voltage=230.0),
        piece("R1", "resistor", "live line", resistance=100.0),
        piece("C1", "film_capacitor", "line a", capacitance=330e-9),
        piece("D1", "bridge_rectifier", "a neutral rail gnd"),
        piece("C2", "electrolytic_capacitor", "rail gnd", capacitance=220e-6),
        piece("D2", "zener", "gnd rail", breakdown_voltage=12.0),
    )


def _whole_wave(m: Match) -> bool:
    """Whether both halves of the wave reach the rail: a bridge, or a second pair of diodes on the other line."""
    mine = {part.reference for name in ("diode", "return_diode") for part in m.roles.get(name, ())}
    other_leg = [
        one
        for kind in ("diode", "schottky")
        for one in m.view.by_kind.get(kind, ())
        if one.reference not in mine and set(one.nets.values()) & m.view.alternating
    ]
    return m.has("bridge") or len(other_leg) >= 2


def _sums(m: Match) -> Sums:
    mains, hertz, farads = source_of(m.view, "voltage"), source_of(m.view, "frequency"), m.farads("dropper")
    solved = m.highest_between("rail", "return")
    held = m.quantity("zener", "breakdown_voltage") if m.has("zener") else Quantity(0.0, "V")
    factor = Quantity(4.0 if _whole_wave(m) else 2.0, "1")
    words = (
        "average current into the rail"
        if solved or m.has("zener")
        else "average current into a rail of few volts"
    )
    return (
        m.sum("reactance of the capacitor", "1 ÷ (2 · π · f · C)", "Ω", art(1), f=hertz, C=farads),
        m.sum(words, "k · f · C · (√(2) · U − V_rail)", "A", "charge moved each half wave, two or one of them counted",
              situation=solved.situation if solved else "", k=factor, f=hertz, C=farads, U=mains,
              V_rail=solved.quantity if solved else held),
        m.sum("heat in the series resistor", "(2 · π · f · C · U)^2 · R", "W", OHM, f=hertz, C=farads, U=mains,
              R=m.ohms("series")) if m.has("series") else None,
        m.sum("time from the mains' peak to 34 V at the pins of the pulled plug", "R · C · ln(√(2) · U ÷ V_t)", "s",
              art(1) + "; 34 V one second after pulling: IEC 60335-1, 22.5 (from memory)", R=m.total("bleeder", "resistance"),
              C=farads, U=mains, V_t=Quantity(34.0, "V")) if m.has("bleeder") else None,
    )  # fmt: skip


def _unusual(m: Match) -> tuple[str, ...]:
    found = ["nothing stands between the circuit and the mains: every net of it may be live"]
    if not m.has("bleeder"):
        found.append(
            "nothing discharges the capacitor: after the plug is pulled its pins may hold the mains' peak voltage"
        )
    if not m.has("series"):
        found.append("no resistor limits the surge if it is switched on at the mains' peak")
    return tuple(found)


def _roles(*rectifier: Role, bleeders: bool) -> tuple[Role | Chain, ...]:
    """What stands round the capacitor; the bleeder as one resistor, which may be left out, or as several in series."""
    capacitor = role(
        "dropper", CAPACITORS, "line joint", where=lambda one: (one.value("capacitance") or 1.0) <= 10e-6
    )
    alone = role(
        "bleeder",
        "resistor",
        "line joint",
        optional=True,
        where=lambda one: (one.value("resistance") or 0.0) >= LEAST_BLEEDER,
    )
    several = Chain(start="line", end="joint", counts={"resistor": (2, 4)}, renamed={"resistor": "bleeder"})
    return (
        *rectifier,
        capacitor,
        several if bleeders else alone,
        role("zener", "zener", "return rail", optional=True),
        role(
            "series",
            "resistor",
            "line mains",
            optional=True,
            where=lambda one: (one.value("resistance") or 1e9) < 2e3,
        ),
    )


def _ways(*rectifier: Role, where: Callable[[Match], bool] = lambda _: True) -> tuple[Pattern, ...]:
    """Ways to build it with one rectifier: with several bleeders in series, and with one or none."""

    def bled(m: Match) -> bool:
        ohms = m.total("bleeder", "resistance")
        return where(m) and ohms is not None and ohms.value >= LEAST_BLEEDER

    return (
        Pattern(roles=_roles(*rectifier, bleeders=True), nets=NETS, where=bled),
        Pattern(roles=_roles(*rectifier, bleeders=False), nets=NETS, where=where),
    )


def _in_line(view: View, net: str) -> bool:
    """The rectifier is reached only through the capacitor."""
    return not at_the_source(view, net)


NETS = {"line": (ALTERNATING,), "joint": (_in_line,)}

MEMBERS = (
    BlockKind(
        name="capacitive_dropper",
        title="capacitive dropper",
        purpose="{dropper} passes a small current from the mains without heat and so takes the place of a transformer.",
        example=_example,
        patterns=(
            *_ways(role("bridge", "bridge_rectifier", "joint - rail return", shared=True)),
            *_ways(
                role("diode", "diode schottky", "joint rail", shared=True),
                role("diode", "diode schottky zener", "return joint", shared=True),
                where=_whole_wave,
            ),
            *_ways(
                role("diode", "diode schottky", "joint rail", shared=True),
                role("return_diode", "diode schottky zener", "return joint"),
                where=lambda m: not _whole_wave(m),
            ),
        ),
        also=("bridge_rectifier", "reservoir"),
        rank=9,
        sums=_sums,
        unusual=_unusual,
        fails=(
            "dropper open: the device is dead",
            "dropper shorted: the whole mains voltage reaches the rest, which burns; a series resistor may act as a fuse",
            "dropper aged: it loses capacitance, and the device weakens year by year",
            "return_diode open: the capacitor charges up once, and then nothing flows",
            "zener open: the rail rises until something gives way",
            "bleeder one open: the pins of the pulled plug hold a charge",
            "series open: the device is dead",
        ),
        source=art(9),
    ),
)
