"""What every kind of claim must be, whichever file it comes from."""

import inspect
import math
import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.errors import UnknownName
from lidoff.evidence import (
    SENSES,
    Claim,
    ClaimKind,
    Example,
    FromSolution,
    FromStatement,
    FromTrial,
    Trial,
    Way,
    all_claim_kinds,
    judge,
)
from lidoff.quantities import UNITS, Quantity, propagate

KINDS = list(all_claim_kinds().values())
WAYS = [
    pytest.param(kind, way, id=f"{kind.name} from {len(way.inputs)}") for kind in KINDS for way in kind.ways
]
EXAMPLES = [
    pytest.param(kind, example, id=f"{kind.name}: {example.says}")
    for kind in KINDS
    for example in kind.examples
]
SYMBOLS = {unit.symbol for unit in UNITS}
PLAIN = {"×": "*", "÷": "/", "−": "-", "²": "**2", "2π": "2*pi", "π": "pi"}


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_kind_explains_itself(kind: ClaimKind) -> None:
    assert all((kind.title, kind.says, kind.source, kind.examples))
    assert bool(kind.ways) != (kind.explains is not None)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_kind_is_read_in_a_known_sense_and_unit(kind: ClaimKind) -> None:
    assert kind.sense in {*SENSES, "noted" if kind.explains else "within"}
    assert kind.unit in {"", *SYMBOLS}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_every_way_has_an_example(kind: ClaimKind) -> None:
    shown = {frozenset(example.inputs) for example in kind.examples}
    assert {frozenset(role.name for role in way.inputs) for way in kind.ways} <= shown


@pytest.mark.parametrize(("kind", "example"), EXAMPLES)
def test_an_example_comes_out_as_it_says(kind: ClaimKind, example: Example) -> None:
    trials = {}
    inputs: dict[str, FromStatement | FromTrial] = {}
    for role, text in example.inputs.items():
        if " of " in text:
            trials[role] = Trial(name=role, what="tried", seen="counted", worked=text)
            inputs[role] = FromTrial(trial=role)
        else:
            inputs[role] = FromStatement(value=text, why="as in the example")
    claim = Claim(name="example", kind=kind.name, says=example.says, value=example.value, inputs=inputs)
    result = judge(claim, {}, unsolved, trials=trials)
    found = result.shown.partition(" ± ")[0] if result.found is not None else ""
    assert (example.found, example.verdict) == (found, result.verdict.words)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_word_that_may_be_claimed_has_limits_and_a_source(kind: ClaimKind) -> None:
    for word, band in kind.named.items():
        assert band.low or band.high, word
        assert band.source, word


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_ways_are_told_apart_by_their_inputs(kind: ClaimKind) -> None:
    inputs = [frozenset(role.name for role in way.inputs) for way in kind.ways]
    assert len(inputs) == len(set(inputs))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_people_are_shown_a_unit_of_the_same_dimension(kind: ClaimKind) -> None:
    if kind.shown_in:
        assert Quantity(1.0, kind.unit).value_in(kind.shown_in) > 0.0


@pytest.mark.parametrize(("kind", "way"), WAYS)
def test_the_written_sum_names_every_input_once(kind: ClaimKind, way: Way) -> None:
    written = [name for _, name, _, _ in string.Formatter().parse(way.written) if name]
    assert sorted(written) == sorted(role.name for role in way.inputs), kind.name


@pytest.mark.parametrize(("kind", "way"), WAYS)
def test_the_sum_takes_its_inputs_in_the_order_of_the_roles(kind: ClaimKind, way: Way) -> None:
    names = list(inspect.signature(way.combine).parameters)
    assert names == [role.name for role in way.inputs] or len(names) == 1, kind.name


@pytest.mark.parametrize(("kind", "way"), WAYS)
def test_the_units_of_the_inputs_make_the_unit_of_the_result(kind: ClaimKind, way: Way) -> None:
    # In SI base quantities the sum must scale as its written form does: told in SI, hours and watt-hours fall away.
    sizes = {unit.symbol: float(unit.size) for unit in UNITS}
    if kind.unit == "" or any(role.unit == "" for role in way.inputs):
        return
    values = [2.0 + index for index in range(len(way.inputs))]
    kept = [value / sizes[role.unit] for value, role in zip(values, way.inputs, strict=True)]
    plain = way.written.format(**{role.name: value for role, value in zip(way.inputs, values, strict=True)})
    for sign, operator in PLAIN.items():
        plain = plain.replace(sign, operator)
    expected = eval(plain, {"pi": math.pi, "cos": math.cos})
    assert way.combine(*kept) * sizes[kind.unit] == pytest.approx(expected)


@pytest.mark.parametrize(("kind", "way"), WAYS)
def test_a_wider_input_never_narrows_the_result(kind: ClaimKind, way: Way) -> None:
    unit = kind.unit or "1"
    narrow = [Quantity(2.0, role.unit or "1", 0.01) for role in way.inputs]
    wide = [Quantity(2.0, role.unit or "1", 0.02) for role in way.inputs]
    assert (
        propagate(way.combine, wide, unit=unit).uncertainty
        > propagate(way.combine, narrow, unit=unit).uncertainty
    )


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_any_numbers_are_judged_or_left_open(data: st.DataObject) -> None:
    kind, way = data.draw(st.sampled_from([(kind, way) for kind in KINDS for way in kind.ways]))
    numbers = st.sampled_from(("0", "1e-9", "-3.5", "1", "0.5", "7", "1e9"))
    spreads = st.sampled_from(("", " ± 0.1", " ± 0", " ± 1e9"))
    inputs = {}
    for role in way.inputs:
        unit = role.unit if role.unit not in ("", "1") else ""
        number, spread = data.draw(numbers), data.draw(spreads)
        inputs[role.name] = FromStatement(
            value=f"{number} {unit}{spread}{f' {unit}' if spread else ''}".strip(), why="drawn"
        )
    sizes = () if kind.sense == "within" else ("0", "1", "-2", "1e6")
    value = data.draw(st.sampled_from((*kind.named, *sizes)))
    unit = "" if value in kind.named or kind.unit in ("", "1") else f" {kind.unit}"
    claim = Claim(name="any", kind=kind.name, says="x", value=f"{value}{unit}", inputs=inputs)
    result = judge(claim, {}, unsolved)
    probability = result.verdict.probability
    assert probability is None or 0.0 <= probability <= 1.0
    assert result.sum
    assert result.shown
