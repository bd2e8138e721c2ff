"""Sums that can be done again on paper."""

from hypothesis import given
from hypothesis import strategies as st

from lidoff.evidence import FromSolution, judge
from lidoff.quantities import Quantity, parse_quantity
from tests.evidence.build import claim, measured


def unsolved(source: FromSolution) -> Quantity:
    raise AssertionError(source)


def written(volts: str, amps: str) -> str:
    known = {"v": measured("v", volts), "a": measured("a", amps)}
    return judge(claim("power_input", "5 W", voltage="v", current="a"), known, unsolved).sum


def test_a_wide_input_is_written_with_digits_enough_for_the_result() -> None:
    # 5.01 · 0.054 = 0.27; the ampere alone deserves one digit, and 5.01 · 50 mA would be 0.25.
    assert "5.01 V × 54 mA = 0.27 W ± 0.15 W; the box says 5 W" == written(
        "5.01 V ± 0.03 V", "0.054 A ± 0.03 A"
    )


def test_an_input_that_needs_no_more_digits_gets_none() -> None:
    assert written("5.02 V ± 0.02 V", "1.58 A ± 0.02 A").startswith("5.02 V × 1.58 A = 7.93 W ± 0.11 W")


@given(volts=st.integers(min_value=100, max_value=9999), amps=st.integers(min_value=100, max_value=9999))
def test_the_written_inputs_make_the_written_result(volts: int, amps: int) -> None:
    told = written(f"{volts / 1000} V ± {volts / 50000} V", f"{amps / 1000} A ± {amps / 20000} A")
    inputs, result = told.partition(";")[0].split(" = ")
    voltage, current = (parse_quantity(text).value for text in inputs.split(" × "))
    power, unit = result.partition(" ± ")[0].split()
    step = 10.0 ** -len(power.partition(".")[2])
    made = voltage * current / parse_quantity(f"1 {unit}").value
    assert abs(made - float(power)) <= 0.5 * step * (1.0 + 1e-9)
