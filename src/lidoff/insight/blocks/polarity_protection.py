"""What keeps a supply the wrong way round from doing harm: a diode in line, a diode across, a MOSFET."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE
from lidoff.insight.view import SUPPLIES

__all__ = ["MEMBERS"]

DIODES = "diode schottky"


def _diode_example() -> Circuit:
    return sketch(
        "Diode in line",
        piece("J1", "dc_supply", "in gnd", voltage=9.0),
        piece("D1", "schottky", "in rail"),
        chip("U1", supply="supply rail", ground="ground gnd", out="output out"),
    )


def _across_example() -> Circuit:
    return sketch(
        "Diode across, behind a fuse",
        piece("J1", "dc_supply", "in gnd", voltage=9.0),
        piece("F1", "fuse", "in rail", current_rating=1.0),
        piece("D1", "diode", "gnd rail"),
        chip("U1", supply="supply rail", ground="ground gnd", out="output out"),
    )


def _mosfet_example() -> Circuit:
    return sketch(
        "MOSFET in line",
        piece("J1", "dc_supply", "in gnd", voltage=9.0),
        piece("Q1", "mosfet_p", "gate in rail"),
        piece("R1", "resistor", "gate gnd", resistance=100e3),
        chip("U1", supply="supply rail", ground="ground gnd", out="output out"),
    )


def _only_feed(m: Match) -> bool:
    """The source is a supply, and no second diode feeds the rail."""
    sources = " ".join((*sorted(SUPPLIES), "connector fuse resettable_fuse switch"))
    feeds = m.touches("feed", sources) and m.nets["feed"] not in m.view.alternating
    return feeds and not _fed_twice(m) and not m.touches("rail", "cell battery linear_charger")


def _fed_twice(m: Match) -> bool:
    """A second diode feeds the rail: from another supply, not from a coil that it spares."""
    return any(
        one.kind in DIODES.split() and pin == "cathode" and one.nets["anode"] in m.view.supplies
        for one, pin in m.others("rail")
    )


def _across_a_supply(m: Match) -> bool:
    return m.touches("rail", "fuse resettable_fuse dc_supply connector") and not m.touches(
        "rail", "inductor transformer"
    )


def _line_sums(m: Match) -> Sums:
    amperes = m.amperes("diode")
    return (
        m.sum("voltage lost in it", "V_in − V_rail", "V", OHM, at="diode",
              V_in=m.volts("feed", busy="diode"), V_rail=m.volts("rail", busy="diode")),
        m.sum("heat in it", "(V_in − V_rail) · I", "W", OHM, at="diode", beside=m.beside_current("diode"),
              V_in=m.volts("feed", busy="diode"), V_rail=m.volts("rail", busy="diode"), I=amperes),
    )  # fmt: skip


def _mosfet_sums(m: Match) -> Sums:
    amperes, ohms = m.amperes("switch"), m.quantity("switch", "on_resistance")
    return (
        m.sum("voltage lost in it", "I · R_on", "V", OHM, at="switch", I=amperes, R_on=ohms),
        m.sum("heat in it", "I^2 · R_on", "W", OHM, at="switch", I=amperes, R_on=ohms),
    )


def _mosfet_unusual(m: Match) -> tuple[str, ...]:
    volts, rating = m.volts("rail", busy="switch"), m.number("switch", "gate_source_rating")
    if volts is not None and rating and abs(volts.value) > rating:
        return (f"the gate sees the whole supply of {volts}, more than the {rating:g} V that it stands",)
    return ()


MEMBERS = (
    BlockKind(
        name="polarity_diode",
        title="polarity diode",
        purpose="{diode} lets current in from {feed} one way only, so that a supply the wrong way round does nothing.",
        example=_diode_example,
        patterns=(
            Pattern(
                roles=(role("diode", DIODES, "feed rail"),),
                nets={"feed": (lambda view, net: net not in view.grounds,), "rail": (SUPPLY,)},
                where=_only_feed,
            ),
        ),
        rank=5,
        sums=_line_sums,
        fails=(
            "diode open: the device is dead",
            "diode shorted: it works on, and a supply the wrong way round reaches everything",
        ),
        source=PRACTICE,
    ),
    BlockKind(
        name="polarity_shunt_diode",
        title="polarity diode across the supply",
        purpose="{diode} shorts a supply that is the wrong way round, so that the fuse opens or the supply gives up.",
        example=_across_example,
        patterns=(
            Pattern(
                roles=(role("diode", DIODES, "ground rail"),),
                nets={"ground": (GROUND,), "rail": (SUPPLY,)},
                where=_across_a_supply,
            ),
        ),
        also=("fuse_input",),
        rank=3,
        fails=(
            "diode open: a supply the wrong way round reaches everything",
            "diode shorted: the supply is shorted",
        ),
        source=PRACTICE,
    ),
    BlockKind(
        name="polarity_mosfet",
        title="polarity MOSFET",
        purpose="{switch} passes current with little loss while the supply is the right way round, and blocks it otherwise.",
        example=_mosfet_example,
        patterns=(
            Pattern(
                roles=(
                    role("switch", "mosfet_p", "gate feed rail"),
                    role("gate_resistor", "resistor", "gate ground"),
                    role("clamp", "zener", "gate rail", optional=True),
                ),
                nets={"ground": (GROUND,), "feed": (SUPPLY,), "rail": (SUPPLY,), "gate": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(role("switch", "mosfet_p", "ground feed rail"),),
                nets={"ground": (GROUND,), "feed": (SUPPLY,)},
            ),
            Pattern(
                roles=(
                    role("switch", "mosfet_n", "gate feed ground"),
                    role("gate_resistor", "resistor", "gate rail"),
                ),
                nets={"ground": (GROUND,), "rail": (SUPPLY,), "gate": (NOT_RAIL,), "feed": (GROUND,)},
            ),
        ),
        rank=7,
        sums=_mosfet_sums,
        unusual=_mosfet_unusual,
        fails=(
            "switch open: the body diode still passes current; it gets hot and the rail is lower by its drop",
            "switch shorted: it works on, and a supply the wrong way round reaches everything",
            "gate_resistor open: the gate floats",
        ),
        source=PRACTICE,
    ),
)
