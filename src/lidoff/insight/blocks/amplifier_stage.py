"""An operational amplifier whose resistors set its gain, and a comparator with its threshold."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, RAIL, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, art

__all__ = ["MEMBERS"]

AMPLIFIER = "operational_amplifier"
UPRIGHT = (
    role("amplifier", AMPLIFIER, "input back out - -"),
    role("feedback", "resistor", "out back"),
    role("gain_resistor", "resistor", "back low"),
)


def _upright_example() -> Circuit:
    return sketch(
        "Amplifier stage",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("Q1", "phototransistor", "v5 seen"),
        piece("R3", "resistor", "seen gnd", resistance=10e3),
        piece("U1", AMPLIFIER, "seen back out v5 gnd"),
        piece("R1", "resistor", "out back", resistance=100e3),
        piece("R2", "resistor", "back gnd", resistance=10e3),
    )


def _inverting_example() -> Circuit:
    return sketch(
        "Inverting stage",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("J2", "dc_supply", "middle gnd", voltage=2.5),
        chip("U2", supply="supply v5", ground="ground gnd", tone="output tone"),
        piece("R1", "resistor", "tone joint", resistance=10e3),
        piece("R2", "resistor", "joint out", resistance=47e3),
        piece("U1", AMPLIFIER, "middle joint out v5 gnd"),
    )


def _threshold_example() -> Circuit:
    return sketch(
        "Comparator with threshold",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 level", resistance=10e3),
        piece("R2", "resistor", "level gnd", resistance=10e3),
        piece("RT1", "ntc", "v5 felt"),
        piece("R3", "resistor", "felt gnd", resistance=10e3),
        piece("U1", "comparator", "felt level out v5 gnd"),
    )


def _upright_sums(m: Match) -> Sums:
    return (
        m.sum("gain", "1 + R_f ÷ R_g", "1", art(4), R_f=m.ohms("feedback"), R_g=m.ohms("gain_resistor")),
    )  # fmt: skip


def _inverting_sums(m: Match) -> Sums:
    return (m.sum("gain", "−R_f ÷ R_in", "1", art(4), R_f=m.ohms("feedback"), R_in=m.ohms("input_resistor")),)


def _fed_back(m: Match) -> bool:
    """A resistor leads from the output to the inverting input, or a transistor stands in between: no comparator."""
    one = m.part("comparator")
    inverting, out = one.nets["inverting"], one.nets["output"]
    around = (other for other, _ in m.view.pins[inverting] if other.reference != one.reference)
    return any(out in other.nets.values() for other in around)


def _threshold_sums(m: Match) -> Sums:
    return (
        m.sum("threshold without hysteresis", "V · R_low ÷ (R_up + R_low)", "V", OHM, V=m.volts("feed"),
              beside=m.beside_voltage("level"), R_low=m.ohms("lower"), R_up=m.ohms("upper")),
    )  # fmt: skip


def _threshold_unusual(m: Match) -> tuple[str, ...]:
    if m.has("hysteresis"):
        return ()
    return ("no resistor gives it hysteresis: near the threshold its output may flutter",)


MEMBERS = (
    BlockKind(
        name="amplifier_stage",
        title="amplifier stage",
        purpose="{amplifier} amplifies {input}; {feedback} and {gain_resistor} set how much.",
        example=_upright_example,
        patterns=(
            Pattern(
                roles=(*UPRIGHT, role("feedback_capacitor", "capacitor", "out back", optional=True)),
                nets={"input": (NOT_RAIL,), "back": (NOT_RAIL,), "low": (RAIL,)},
            ),
            Pattern(
                roles=(
                    *UPRIGHT,
                    role("gain_capacitor", "capacitor electrolytic_capacitor", "low ground"),
                    role("feedback_capacitor", "capacitor", "out back", optional=True),
                ),
                nets={"input": (NOT_RAIL,), "back": (NOT_RAIL,), "low": (NOT_RAIL,), "ground": (RAIL,)},
            ),
        ),
        also=("light_sensor",),
        rank=6,
        sums=_upright_sums,
        fails=(
            "feedback open: it works as a switch, all or nothing",
            "gain_resistor open: the gain falls to one",
            "amplifier dead: {out} sticks at one end",
        ),
        source=art(4),
    ),
    BlockKind(
        name="inverting_stage",
        title="inverting amplifier stage",
        purpose="{amplifier} turns {input} over and amplifies it by {feedback} over {input_resistor}.",
        example=_inverting_example,
        patterns=(
            Pattern(
                roles=(
                    role("amplifier", AMPLIFIER, "middle joint out - -"),
                    role("feedback", "resistor", "joint out"),
                    role("input_resistor", "resistor", "input joint"),
                    role("feedback_capacitor", "capacitor", "joint out", optional=True),
                ),
                nets={"joint": (NOT_RAIL,), "input": (NOT_RAIL, lambda view, net: view.is_driven(net)
                                                      or view.degree(net) > 2)},
            ),
        ),
        rank=6,
        sums=_inverting_sums,
        fails=(
            "feedback open: it works as a switch, all or nothing",
            "input_resistor open: {out} no longer follows",
            "amplifier dead: {out} sticks at one end",
        ),
        source=art(4),
    ),
    BlockKind(
        name="comparator_threshold",
        title="comparator with threshold",
        purpose="{comparator} tells whether the other input is above the level that {upper} and {lower} set.",
        example=_threshold_example,
        patterns=tuple(
            Pattern(
                roles=(
                    role("comparator", "comparator operational_amplifier", pins),
                    role("upper", "resistor", "feed level"),
                    role("lower", "resistor", "level ground"),
                    role("hysteresis", "resistor", f"out {plus}", optional=True),
                ),
                nets={"feed": (RAIL,), "ground": (lambda view, net: net in view.grounds,), "level": (NOT_RAIL,)},
                where=lambda m: m.nets["feed"] not in m.view.grounds and not _fed_back(m),
            )
            for pins, plus in (("plus level out - -", "plus"), ("level minus out - -", "level"))
        ),
        also=("sensor_divider",),
        rank=6,
        sums=_threshold_sums,
        unusual=_threshold_unusual,
        fails=(
            "upper open: the threshold falls to the ground",
            "lower open: the threshold rises to {feed}",
            "comparator dead: {out} sticks at one end",
        ),
        source=art(4),
    ),
)  # fmt: skip
