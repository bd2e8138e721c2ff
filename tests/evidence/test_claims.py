"""What every kind of claim must be, whichever file it comes from."""

import inspect
import string

import pytest

from lidoff.evidence import SENSES, ClaimKind, Way, all_claim_kinds
from lidoff.quantities import UNITS, Quantity, propagate

KINDS = list(all_claim_kinds().values())
WAYS = [
    pytest.param(kind, way, id=f"{kind.name} from {len(way.inputs)}") for kind in KINDS for way in kind.ways
]
SYMBOLS = {unit.symbol for unit in UNITS}


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_kind_explains_itself(kind: ClaimKind) -> None:
    assert all((kind.title, kind.says, kind.source, kind.ways))


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_kind_is_read_in_a_known_sense_and_unit(kind: ClaimKind) -> None:
    assert kind.sense in SENSES
    assert kind.unit in {"", *SYMBOLS}


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
    plain = way.written.replace("×", "*").replace("÷", "/")
    expected = eval(
        plain.format(**{role.name: value for role, value in zip(way.inputs, values, strict=True)})
    )
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
