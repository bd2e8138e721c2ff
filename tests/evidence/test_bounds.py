import pytest

from lidoff.errors import UnknownName
from lidoff.evidence import CannotTell, Claim, FromSolution, FromStatement, judge
from lidoff.quantities import Quantity


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


def stated(kind: str, value: str, *, sense: str = "", tolerance: str = "", **inputs: str) -> Claim:
    return Claim(
        name="claim",
        kind=kind,
        says=f"{value}!",
        value=value,
        sense=sense,
        tolerance=tolerance,
        inputs={role: FromStatement(value=text, why="as told") for role, text in inputs.items()},
    )


LOWER = {"charge": "2.23 Ah ± 0.02 Ah", "current": "1 A ± 0.01 A"}  # 2.23 h, and the taper on top
UPPER = {"electrical_power": "12 W ± 0.1 W", "resistance": "1 Ω ± 0.01 Ω", "current": "2 A ± 0.01 A"}  # 8 W


@pytest.mark.parametrize(
    ("words", "kind", "value", "sense", "inputs"),
    [
        ("cannot tell", "charge_time", "3 h", "at most", LOWER),
        ("not borne out", "charge_time", "2 h", "at most", LOWER),
        ("borne out", "charge_time", "2 h", "at least", LOWER),
        ("cannot tell", "charge_time", "3 h", "at least", LOWER),
        ("cannot tell", "charge_time", "2.23 h", "about", LOWER),
        ("cannot tell", "charge_time", "3 h", "about", LOWER),
        ("not borne out", "charge_time", "1 h", "about", LOWER),
        ("cannot tell", "shaft_power", "5 W", "at least", UPPER),
        ("not borne out", "shaft_power", "10 W", "at least", UPPER),
        ("borne out", "shaft_power", "10 W", "at most", UPPER),
        ("not borne out", "shaft_power", "20 W", "about", UPPER),
        ("cannot tell", "shaft_power", "5 W", "about", UPPER),
    ],
)
def test_a_bound_says_nothing_of_its_open_side(
    words: str, kind: str, value: str, sense: str, inputs: dict[str, str]
) -> None:
    assert words == judge(stated(kind, value, sense=sense, **inputs), {}, unsolved).verdict.words


def test_what_a_bound_leaves_open_has_no_probability_and_names_what_would_tell() -> None:
    result = judge(stated("charge_time", "3 h", **LOWER), {}, unsolved)
    assert isinstance(result.verdict, CannotTell)
    assert result.verdict.probability is None
    assert result.verdict.needs == "a reading of the time"
    assert result.verdict.why == (
        "2.23 h is only a lower bound of the charging time, which may be more by an amount that is not known"
    )
    assert "= 2.23 h ± 0.03 h (a lower bound)" in result.sum


def test_a_load_carried_tells_nothing_of_a_larger_one() -> None:
    verdict = judge(stated("load_rating", "300 W", carried="100 W ± 1 W"), {}, unsolved).verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.needs.startswith("a trial at the full load")


def test_a_lifetime_names_what_wears_out_as_what_would_tell() -> None:
    verdict = judge(stated("lifetime", "50000 h"), {}, unsolved).verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.needs.startswith("the temperature of the part that wears out first")


def test_a_claim_of_no_kind_of_its_own_asks_in_its_own_words() -> None:
    verdict = judge(stated("measured_value", "1.5 m"), {}, unsolved).verdict
    assert isinstance(verdict, CannotTell)
    assert verdict.needs == "a reading of what “1.5 m!” promises, in the unit of 1.5 m"
