"""The sign of a current tells which way it was counted, and decides no verdict."""

import pytest

from lidoff.errors import UnknownName
from lidoff.evidence import (
    CannotTell,
    Claim,
    ClaimResult,
    Example,
    FromSolution,
    FromStatement,
    InPart,
    Measured,
    all_claim_kinds,
    judge,
)
from lidoff.quantities import Quantity
from tests.evidence.build import claim, measured


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


def judged(one: Claim, *readings: Measured) -> ClaimResult:
    return judge(one, {reading.name: reading for reading in readings}, unsolved)


def stated(kind: str, claimed: str, inputs: dict[str, str]) -> ClaimResult:
    given = {role: FromStatement(value=text, why="as in the test") for role, text in inputs.items()}
    return judge(
        Claim(name="claim", kind=kind, says=f"{claimed}!", value=claimed, inputs=given), {}, unsolved
    )


UNSIGNED = [
    pytest.param(kind.name, example, role.name, id=f"{kind.name}: {example.says}, {role.name}")
    for kind in all_claim_kinds().values()
    for example in kind.examples
    for way in [kind.way_for(frozenset(example.inputs))]
    if way is not None
    for role in way.inputs
    if role.unsigned
]


@pytest.mark.parametrize(("kind", "example", "role"), UNSIGNED)
def test_an_input_counted_the_other_way_round_changes_no_verdict(
    kind: str, example: Example, role: str
) -> None:
    inputs = dict(example.inputs)
    other_way_round = f"-{inputs[role]}".removeprefix("--")
    straight = stated(kind, example.value, inputs)
    turned = stated(kind, example.value, {**inputs, role: other_way_round})
    assert (turned.verdict, turned.shown) == (straight.verdict, straight.shown)


def test_charging_counted_into_the_charger_takes_the_time_that_it_takes() -> None:
    # 1.179 / 0.505 = 2.335 h
    result = judged(
        claim("charge_time", "2 h", charge="charge", current="current"),
        measured("charge", "1.179 Ah ± 0.012 Ah"),
        measured("current", "-505 mA ± 20 mA"),
    )
    assert result.sum.startswith("1.179 Ah ÷ 505 mA = 2.33 h ± 0.10 h (a lower bound)")
    assert result.verdict.words == "not borne out"


def test_a_reading_whose_sign_was_left_out_says_so() -> None:
    result = judged(claim("idle_current", "1 mA", current="i"), measured("i", "-496 mA ± 5 mA"))
    assert result.sum == "496 mA ± 5 mA as read, without its sign; the box says 1 mA"
    assert any("which way it was counted" in note for note in result.notes)
    assert result.verdict.words == "not borne out"


def test_a_current_from_the_solved_circuit_counts_by_its_amount_too() -> None:
    asked = FromSolution(situation="charging", target=InPart(reference="BT1", what="current"))
    one = Claim(
        name="c", kind="usb_draw", says="any port", value="USB 2.0 not configured", inputs={"current": asked}
    )
    result = judge(one, {}, lambda _: Quantity(-0.5, "A", 0.01))
    assert result.verdict.words == "not borne out"


def test_readings_on_one_range_share_its_error_whichever_way_they_were_counted() -> None:
    sides = {
        "voltage_in": "v_in",
        "current_in": "i_in",
        "voltage_out": "v_out",
        "current_out": "i_out",
    }

    def result(current: str) -> ClaimResult:
        return judged(
            claim("efficiency", "80 %", **sides),
            measured("v_in", "3.80 V ± 0.02 V"),
            measured("v_out", "4.99 V ± 0.02 V"),
            measured("i_in", "0.76 A", instrument="meter", measures="current dc"),
            measured("i_out", current, instrument="meter", measures="current dc"),
        )

    straight, turned = result("0.50 A"), result("-0.50 A")
    assert turned.found == straight.found
    assert turned.verdict == straight.verdict


def test_a_claim_that_is_itself_below_zero_keeps_the_sign() -> None:
    assert stated("current", "-0.5 A", {"current": "-0.52 A ± 0.01 A"}).verdict.words == "borne out"


def test_a_voltage_keeps_its_sign() -> None:
    assert stated("voltage", "12 V", {"voltage": "-12 V ± 0.1 V"}).verdict.words == "not borne out"


@pytest.mark.parametrize(
    ("kind", "value", "inputs"),
    [
        ("run_time", "6 h", {"time": "-2 h ± 1 min"}),
        ("mass", "1 kg", {"mass": "-3 kg ± 0.1 kg"}),
        ("shaft_power", "1 W", {"electrical_power": "1 W ± 0.1 W", "resistance": "5 Ω", "current": "1 A"}),
        ("times_more", "2", {"value": "-3 A ± 0.1 A", "compared_with": "1 A"}),
    ],
)
def test_what_cannot_lie_below_zero_is_left_open_there(kind: str, value: str, inputs: dict[str, str]) -> None:
    result = stated(kind, value, inputs)
    assert isinstance(result.verdict, CannotTell)
    assert "none lies below zero" in result.verdict.why
    assert "sign and all" in result.verdict.needs


def test_next_to_nothing_below_zero_is_nothing() -> None:
    assert stated("mass", "1 kg", {"mass": "-1 g ± 2 g"}).verdict.words == "borne out"
