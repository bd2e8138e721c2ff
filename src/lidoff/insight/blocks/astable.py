"""Circuits that swing to and fro by themselves: two transistors, a gate, or a timer chip."""

from __future__ import annotations

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import GROUND, SUPPLY, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.sources import art

__all__ = ["MEMBERS"]

CAPACITORS = "electrolytic_capacitor capacitor film_capacitor"
TIMER = "Signetics, NE/SA/SE555 timer data sheet (formulas from memory)"
GATES = "nand_gate nor_gate"


def _transistors_example() -> Circuit:
    return sketch(
        "Two transistors that take turns",
        piece("J1", "dc_supply", "v9 gnd", voltage=9.0),
        piece("Q1", "npn", "c_1 b_1 gnd"),
        piece("Q2", "npn", "c_2 b_2 gnd"),
        piece("R1", "resistor", "v9 b_1", resistance=47e3),
        piece("R2", "resistor", "v9 b_2", resistance=47e3),
        piece("C1", "electrolytic_capacitor", "c_1 b_2", capacitance=10e-6),
        piece("C2", "electrolytic_capacitor", "c_2 b_1", capacitance=10e-6),
        piece("R3", "resistor", "v9 a", resistance=470.0),
        piece("D1", "led", "a c_1"),
        piece("R4", "resistor", "v9 b", resistance=470.0),
        piece("D2", "led", "b c_2"),
    )


def _gate_example() -> Circuit:
    return sketch(
        "Gate that oscillates",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("U1", "inverter", "slow out v5 gnd", hysteresis=0.3),
        piece("R1", "resistor", "out slow", resistance=100e3),
        piece("C1", "capacitor", "slow gnd", capacitance=100e-9),
    )


def _pair_example() -> Circuit:
    return sketch(
        "Two gates that oscillate",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("U1", "inverter", "in between v5 gnd"),
        piece("U2", "inverter", "between out v5 gnd"),
        piece("R1", "resistor", "between joint", resistance=100e3),
        piece("C1", "capacitor", "out joint", capacitance=10e-9),
        piece("R2", "resistor", "joint in", resistance=1e6),
    )


def _timer_example() -> Circuit:
    return sketch(
        "Timer that runs freely",
        piece("J1", "dc_supply", "v9 gnd", voltage=9.0),
        piece("U1", "timer", "gnd saw out v9 steady saw drain v9"),
        piece("R1", "resistor", "v9 drain", resistance=10e3),
        piece("R2", "resistor", "drain saw", resistance=68e3),
        piece("C1", "electrolytic_capacitor", "saw gnd", capacitance=10e-6),
        piece("C2", "capacitor", "steady gnd", capacitance=10e-9),
    )


def _pulse_example() -> Circuit:
    return sketch(
        "Timer that gives one pulse",
        piece("J1", "dc_supply", "v9 gnd", voltage=9.0),
        piece("U1", "timer", "gnd start out v9 steady saw saw v9"),
        piece("R1", "resistor", "v9 saw", resistance=100e3),
        piece("C1", "electrolytic_capacitor", "saw gnd", capacitance=10e-6),
        piece("C2", "capacitor", "steady gnd", capacitance=10e-9),
        piece("S1", "button", "start gnd"),
        piece("R2", "resistor", "v9 start", resistance=10e3),
    )


def _transistors_sums(m: Match) -> Sums:
    first, second = m.farads("first_capacitor"), m.farads("second_capacitor")
    ohms_1, ohms_2 = m.ohms("first_base"), m.ohms("second_base")
    return (
        m.sum("period", "ln(2) · (R_1 · C_2 + R_2 · C_1)", "s", art(7), R_1=ohms_1, C_2=second, R_2=ohms_2, C_1=first),
        m.sum("frequency", "1 ÷ (ln(2) · (R_1 · C_2 + R_2 · C_1))", "Hz", art(7), R_1=ohms_1, C_2=second, R_2=ohms_2,
              C_1=first),
        m.sum("base current that keeps each transistor on", "(V − V_BE) ÷ R_1", "A", art(2), V=m.volts("feed"),
              V_BE=m.quantity("first", "base_emitter_drop"), R_1=ohms_1),
    )  # fmt: skip


def _gate_sums(m: Match) -> Sums:
    return (
        m.sum("period, if the thresholds lie as far apart as told and around the middle",
              "2 · R · C · ln((1 + h) ÷ (1 − h))", "s", "closed form: exponential between two thresholds h · V apart",
              R=m.ohms("resistor"), C=m.farads("capacitor"), h=m.quantity("gate", "hysteresis")),
    ) if (m.number("gate", "hysteresis") or 0.0) > 0.0 else (
        m.sum("time constant, from which the gate's own thresholds make the period", "R · C", "s", art(1),
              R=m.ohms("resistor"), C=m.farads("capacitor")),
    )  # fmt: skip


def _pair_sums(m: Match) -> Sums:
    return (
        m.sum("period, about", "2.2 · R · C", "s", art(7), R=m.ohms("resistor"), C=m.farads("capacitor")),
        m.sum(
            "frequency, about",
            "1 ÷ (2.2 · R · C)",
            "Hz",
            art(7),
            R=m.ohms("resistor"),
            C=m.farads("capacitor"),
        ),
    )


def _timer_sums(m: Match) -> Sums:
    upper, lower, farads = m.ohms("upper"), m.ohms("lower"), m.farads("capacitor")
    return (
        m.sum("frequency", "1 ÷ (ln(2) · (R_A + 2 · R_B) · C)", "Hz", TIMER, R_A=upper, R_B=lower, C=farads),
        m.sum("time of each pulse", "ln(2) · (R_A + R_B) · C", "s", TIMER, R_A=upper, R_B=lower, C=farads),
        m.sum("share of the time that the output is high", "(R_A + R_B) ÷ (R_A + 2 · R_B)", "1", TIMER, R_A=upper, R_B=lower),
    )  # fmt: skip


def _pulse_sums(m: Match) -> Sums:
    return (
        m.sum(
            "length of the pulse", "ln(3) · R · C", "s", TIMER, R=m.ohms("resistor"), C=m.farads("capacitor")
        ),
    )


TIMER_FAILS = (
    "capacitor open: it swings far too fast, or not at all",
    "capacitor shorted: the output stays high",
    "capacitor dried out: it runs faster than it should",
)

MEMBERS = (
    BlockKind(
        name="transistor_astable",
        title="two transistors that take turns",
        purpose="{first} and {second} switch each other off in turn through {first_capacitor} and {second_capacitor}.",
        example=_transistors_example,
        patterns=(
            Pattern(
                roles=(
                    role("first", "npn", "c_1 b_1 ground"),
                    role("first_capacitor", CAPACITORS, "c_1 b_2"),
                    role("second", "npn", "c_2 b_2 ground"),
                    role("second_capacitor", CAPACITORS, "c_2 b_1"),
                    role("first_base", "resistor", "feed b_1"),
                    role("second_base", "resistor", "feed b_2"),
                    role("first_load", "resistor", "feed c_1", optional=True),
                    role("second_load", "resistor", "feed c_2", optional=True),
                ),
                nets={"ground": (GROUND,), "feed": (SUPPLY,)},
            ),
        ),
        also=("series_resistor_led", "series_resistor_led"),
        rank=9,
        sums=_transistors_sums,
        fails=(
            "first shorted: it stops, with {second} off",
            "first_capacitor open: it stops",
            "first_base open: it stops, with {first} off",
            "first_capacitor dried out: one of the two halves gets shorter",
        ),
        source=art(7),
    ),
    BlockKind(
        name="gate_astable",
        title="gate that oscillates",
        purpose="{gate} fills and empties {capacitor} through {resistor}, and turns over each time it reaches a threshold.",
        example=_gate_example,
        patterns=(
            Pattern(
                roles=(
                    role("gate", "inverter", "slow out - -"),
                    role("resistor", "resistor", "out slow"),
                    role("capacitor", CAPACITORS, "slow ground"),
                ),
                nets={"ground": (GROUND,)},
            ),
            Pattern(
                roles=(
                    role("gate", GATES, "slow enable out - -"),
                    role("resistor", "resistor", "out slow"),
                    role("capacitor", CAPACITORS, "slow ground"),
                ),
                nets={"ground": (GROUND,)},
                loose=("enable",),
            ),
        ),
        rank=8,
        sums=_gate_sums,
        fails=(
            "resistor open: it stops",
            "capacitor open: it swings far too fast",
            "capacitor shorted: it stops, with the output high",
        ),
        source=art(7),
    ),
    BlockKind(
        name="gate_pair_astable",
        title="two gates that oscillate",
        purpose="{first} and {second} turn over again and again, at the pace of {resistor} and {capacitor}.",
        example=_pair_example,
        patterns=(
            Pattern(
                roles=(
                    role("first", "inverter", "in between - -"),
                    role("second", "inverter", "between out - -"),
                    role("resistor", "resistor", "between joint"),
                    role("capacitor", CAPACITORS, "out joint"),
                    role("input_resistor", "resistor", "joint in", optional=True),
                ),
                loose=("joint", "in"),
                where=lambda m: m.nets["joint"] == m.nets["in"] or m.has("input_resistor"),
            ),
        ),
        rank=9,
        sums=_pair_sums,
        fails=(
            "resistor open: it stops",
            "capacitor open: it swings far too fast, or stops",
            "input_resistor open: it stops",
        ),
        source=art(7),
    ),
    BlockKind(
        name="timer_astable",
        title="timer that runs freely",
        purpose="{timer} fills {capacitor} through {upper} and {lower} and empties it through {lower}, for ever.",
        example=_timer_example,
        patterns=(
            Pattern(
                roles=(
                    role("timer", "timer", "ground saw out - steady saw drain feed"),
                    role("upper", "resistor", "feed drain"),
                    role("lower", "resistor", "drain saw"),
                    role("capacitor", CAPACITORS, "saw ground"),
                    role("steadying", "capacitor", "steady ground", optional=True),
                ),
            ),
            Pattern(
                roles=(
                    role("timer", "timer", "ground saw out - - saw drain feed"),
                    role("upper", "resistor", "feed drain"),
                    role("lower", "resistor", "drain saw"),
                    role("capacitor", CAPACITORS, "saw ground"),
                ),
            ),
        ),
        rank=9,
        sums=_timer_sums,
        fails=(
            "upper open: it stops",
            "lower open: it stops",
            *TIMER_FAILS,
        ),
        source=TIMER,
    ),
    BlockKind(
        name="timer_pulse",
        title="timer that gives one pulse",
        purpose="Once {start} is pulled low, {timer} holds its output high until {resistor} has filled {capacitor}.",
        example=_pulse_example,
        patterns=(
            Pattern(
                roles=(
                    role("timer", "timer", "ground start out - steady saw saw feed"),
                    role("resistor", "resistor", "feed saw"),
                    role("capacitor", CAPACITORS, "saw ground"),
                    role("steadying", "capacitor", "steady ground", optional=True),
                ),
            ),
            Pattern(
                roles=(
                    role("timer", "timer", "ground start out - - saw saw feed"),
                    role("resistor", "resistor", "feed saw"),
                    role("capacitor", CAPACITORS, "saw ground"),
                ),
            ),
        ),
        also=("button_input",),
        rank=9,
        sums=_pulse_sums,
        fails=(
            "resistor open: the pulse never ends",
            *TIMER_FAILS,
        ),
        source=TIMER,
    ),
)
