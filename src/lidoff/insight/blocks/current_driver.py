"""Circuits that hold a current steady: an amplifier or a chip compares it with what it should be, or a held base does."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, NOT_RAIL, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE, art
from lidoff.insight.view import PlacedPart

__all__ = ["MEMBERS"]

USUAL_SENSE = 0.2
"""Voltage that chips which drive LEDs commonly hold across their sense resistor [V]; common practice, no source."""


def _amplifier_example() -> Circuit:
    return sketch(
        "Current sink with an amplifier",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 wanted", resistance=100e3),
        piece("R2", "resistor", "wanted gnd", resistance=1e3),
        piece("U1", "operational_amplifier", "wanted felt gate v12 gnd"),
        piece("Q1", "mosfet_n", "gate low felt"),
        piece("R3", "resistor", "felt gnd", resistance=1.0),
        piece("D1", "led", "v12 a"),
        piece("D2", "led", "a low"),
    )


def _chip_example() -> Circuit:
    return sketch(
        "LED driver",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        chip(
            "U1", "box", supply="supply v12", ground="ground gnd", sense="input top", switch="output switched"
        ),
        piece("R1", "resistor", "v12 top", resistance=0.33),
        piece("D1", "led", "top a", forward_drop=3.1),
        piece("D2", "led", "a tail", forward_drop=3.1),
        piece("L1", "inductor", "tail switched", inductance=47e-6),
        piece("D3", "schottky", "switched v12"),
    )


def _transistor_example() -> Circuit:
    return sketch(
        "Transistor as a current sink",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 held", resistance=1e3),
        piece("D1", "zener", "gnd held", breakdown_voltage=3.3),
        piece("Q1", "npn", "low held below"),
        piece("R2", "resistor", "below gnd", resistance=130.0),
        piece("D2", "led", "v12 a"),
        piece("D3", "led", "a low"),
    )


def _amplifier_sums(m: Match) -> Sums:
    return (
        m.sum("current that it holds", "V_wanted ÷ R", "A", art(4), at="sense_resistor",
              beside=m.beside_current("sense_resistor"), V_wanted=m.volts("wanted", busy="sense_resistor"),
              R=m.ohms("sense_resistor")),
        m.sum("heat in the transistor", "(V_load − V_sense) · I", "W", OHM, at="sense_resistor",
              V_load=m.volts("load", busy="sense_resistor"), V_sense=m.volts("sense", busy="sense_resistor"),
              I=m.amperes("sense_resistor")),
    )  # fmt: skip


def _chip_sums(m: Match) -> Sums:
    return (
        m.sum("current if the chip holds 0.2 V, as many do", "V ÷ R", "A",
              PRACTICE + ": the chip's data sheet tells its own voltage", beside=m.beside_current("sense_resistor"),
              V=m.plain(USUAL_SENSE, "V"), R=m.ohms("sense_resistor")),
    )  # fmt: skip


def _transistor_sums(m: Match) -> Sums:
    held = m.quantity("zener", "breakdown_voltage") if m.has("zener") else m.total("diode", "forward_drop")
    return (
        m.sum("current that it holds", "(V_held − V_BE) ÷ R", "A", art(2), beside=m.beside_current("sense_resistor"),
              V_held=held, V_BE=m.quantity("pass", "base_emitter_drop"), R=m.ohms("sense_resistor")),
        m.sum("current through the resistor that feeds the base", "(V − V_held) ÷ R_feed", "A", OHM,
              beside=m.beside_current("feed_resistor"), at="feed_resistor", V=m.volts("feed", busy="feed_resistor"),
              V_held=held, R_feed=m.ohms("feed_resistor")),
    )  # fmt: skip


def _small(one: PlacedPart) -> bool:
    ohms = one.value("resistance")
    return ohms is not None and ohms <= 15.0


def _string_between(m: Match) -> bool:
    """LEDs lead from the sense resistor towards the coil."""
    net = m.nets["top"]
    for _ in range(40):
        onward = [one for one, pin in m.view.pins[net] if one.kind == "led" and pin == "anode"]
        if not onward:
            return False
        net = onward[0].nets["cathode"]
        if net == m.nets["tail"]:
            return True
    return False


AMPLIFIER_FAILS = (
    "amplifier dead: as it leaves the gate; high, nothing limits the current but {sense_resistor}",
    "pass shorted: nothing limits the current but {sense_resistor}",
    "sense_resistor open: no current",
    "sense_resistor shorted: the amplifier sees no current, and opens the transistor wide",
)
TRANSISTOR_FAILS = (
    "pass shorted: nothing limits the current but {sense_resistor}",
    "pass open: no current",
    "zener open: the current rises with the supply",
    "zener shorted: no current",
    "sense_resistor open: no current",
    "sense_resistor shorted: nothing limits the current but the transistor's gain",
    "feed_resistor open: no current",
)

MEMBERS = (
    BlockKind(
        name="amplifier_current_sink",
        title="current sink with amplifier",
        purpose="{amplifier} opens {pass} just so far that the current's voltage across {sense_resistor} equals that of "
        "{wanted}.",
        example=_amplifier_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("amplifier", "operational_amplifier", "wanted sense gate - -"),
                    role("pass", kind, pins),
                    role("sense_resistor", "resistor", "sense ground", many=True),
                    role("gate_resistor", "resistor", "gate base", optional=True),
                ),
                nets={"ground": (GROUND,), "load": (NOT_RAIL,), "sense": (NOT_RAIL,)},
            )
            for kind, pins in (("mosfet_n", "gate load sense"), ("npn darlington_npn", "load gate sense"))
        ),
        also=("divider", "led_string"),
        rank=9,
        sums=_amplifier_sums,
        fails=AMPLIFIER_FAILS,
        source=art(4),
    ),
    BlockKind(
        name="led_driver_chip",
        title="switching LED driver",
        purpose="{chip} switches {coil} so that the current through {sense_resistor} and the LEDs stays steady; {diode} "
        "carries it while the switch is open.",
        example=_chip_example,
        patterns=(
            Pattern(
                roles=(
                    role("coil", "inductor", "tail switched"),
                    role("diode", "schottky diode", "switched feed"),
                    role("sense_resistor", "resistor", "feed top", where=_small, many=True),
                    role("chip", "box", by_role={"input": "top", "output": "switched"}),
                ),
                nets={"feed": (SUPPLY,), "switched": (NOT_RAIL,), "top": (NOT_RAIL,)},
                where=_string_between,
            ),
        ),
        also=("led_string",),
        rank=8,
        sums=_chip_sums,
        fails=(
            "chip shorted: the LEDs take whatever the supply gives through the coil",
            "sense_resistor open: no light",
            "sense_resistor shorted: the chip sees no current, and lets it rise",
            "diode open: the chip sees a voltage kick each time it lets go, and fails",
            "coil open: no light",
        ),
        source=PRACTICE,
    ),
    BlockKind(
        name="transistor_current_sink",
        title="transistor as current sink",
        purpose="The base of {pass} is held at a steady voltage, so {sense_resistor} sees a steady one too, "
        "and sets the current.",
        example=_transistor_example,
        patterns=(
            Pattern(
                roles=(
                    role("pass", "npn", "load held below"),
                    role("sense_resistor", "resistor", "below ground"),
                    role("zener", "zener", "ground held"),
                    role("feed_resistor", "resistor", "held feed"),
                ),
                nets={"ground": (GROUND,), "load": (NOT_RAIL,), "below": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(
                    role("pass", "npn", "load held below"),
                    role("sense_resistor", "resistor", "below ground"),
                    role("diode", "led", "held ground"),
                    role("feed_resistor", "resistor", "held feed"),
                ),
                nets={"ground": (GROUND,), "load": (NOT_RAIL,), "below": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(
                    role("pass", "npn", "load held below"),
                    role("sense_resistor", "resistor", "below ground"),
                    role("diode", "diode", "held between"),
                    role("diode", "diode", "between ground"),
                    role("feed_resistor", "resistor", "held feed"),
                ),
                nets={"ground": (GROUND,), "load": (NOT_RAIL,), "below": (NOT_RAIL,)},
            ),
        ),
        also=("led_string",),
        rank=8,
        sums=_transistor_sums,
        fails=TRANSISTOR_FAILS,
        source=art(2),
    ),
)
