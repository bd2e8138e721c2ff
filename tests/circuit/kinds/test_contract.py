"""What every kind of part must keep to, whichever it is; a new kind is covered the moment its file exists."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from lidoff.circuit import Circuit, Part, Situation, all_kinds, kind_of, operating_point, settings_of
from lidoff.circuit.kind import Array, Element, Kind, Law, Parameters, Ports
from lidoff.errors import ImpossibleValue

NAMES = tuple(all_kinds())
UNITS = {
    "", "1", "rad", "V", "A", "Ω", "W", "VA", "F", "H", "C", "Hz", "s", "m", "m²", "°C", "K", "lx", "Ah", "1/K", "1/V", "V/K",
    "A/lx", "A²·s", "A/V²", "Ω·m", "V·s/rad", "rad/s", "N·m", "N·m·s/rad", "kg·m²",
}  # fmt: skip
SAMPLES = 400
SOME_VALUE = 0.1  # of a parameter that is told only by choice, whatever its unit
STEP = 1e-5  # for differences [V or A]


def elements_of(part: Part) -> tuple[tuple[Element, dict[str, Array]], ...]:
    """Elements of a part, each with its law's parameters as the solver hands them over, shape (1, 1)."""
    numbers = {name: np.array([value]) for name, value in settings_of(part).items()}
    found = []
    for element in kind_of(part).elements(part):
        derived = {
            name: np.atleast_1d(np.asarray(v, float))[:, None] for name, v in element.derive(numbers).items()
        }
        derived["time"] = np.array([[0.0]])
        found.append((element, derived))
    return tuple(found)


def variants(kind: Kind) -> Iterator[Part]:
    """Yield the example part, and one with each parameter that a part tells only by choice."""
    example = kind.example_part()
    yield example
    for parameter in kind.only_if_told:
        told = replace(example, values={**example.values, parameter.name: SOME_VALUE})
        try:
            kind.elements(told)
        except ImpossibleValue:  # says the same as another one, or not enough
            continue
        yield told


def laws_of(kind: Kind) -> Iterator[tuple[Law, dict[str, Array]]]:
    """Yield laws with parameters over all variants of a kind."""
    for part in variants(kind):
        for element, parameters in elements_of(part):
            yield element.law, parameters


def random_ports(law: Law, parameters: Parameters, rng: np.random.Generator) -> Ports:
    """Ports over many orders of magnitude, and near the law's own parameters, where it bends; shape (SAMPLES, 1)."""
    shape = (SAMPLES, len(law.ports))
    signs = rng.choice([-1.0, 1.0], shape)
    anywhere = 10.0 ** rng.uniform(-3, 1.5, shape)
    own = np.array(
        [0.0, *(float(v.ravel()[0]) for v in parameters.values() if 1e-3 < abs(v.ravel()[0]) < 50.0)]
    )
    near = rng.choice(own, shape) + 10.0 ** rng.uniform(-4, -1, shape) * rng.choice([-1.0, 1.0], shape)
    size = signs * np.where(rng.random(shape) < 0.5, anywhere, near)
    size[rng.random(shape) < 0.05] = 0.0
    return tuple(size[:, k : k + 1] for k in range(len(law.ports)))


def differences(law: Law, ports: Ports, parameters: Parameters, port: int, by: float) -> tuple[Array, ...]:
    """Central differences of all responses along one port."""
    up = [p + by if k == port else p for k, p in enumerate(ports)]
    down = [p - by if k == port else p for k, p in enumerate(ports)]
    high, low = law.respond(tuple(up), parameters).values, law.respond(tuple(down), parameters).values
    return tuple((above - below) / (2.0 * by) for above, below in zip(high, low, strict=True))


@pytest.mark.parametrize("name", NAMES)
def test_kind_tells_what_a_reader_needs(name: str) -> None:
    kind = all_kinds()[name]
    assert kind.title
    assert kind.says
    assert kind.source
    assert kind.letters
    assert set(kind.path) <= set(kind.pins)
    assert {pin for pair in kind.controls for pin in pair} <= set(kind.pins)
    assert set(kind.optional_pins) <= set(kind.pins)


@pytest.mark.parametrize("name", NAMES)
def test_every_parameter_has_words_unit_and_source(name: str) -> None:
    kind = all_kinds()[name]
    told = (*kind.parameters, *kind.only_if_told, *kind.own_parameters(kind.example_part()))
    for parameter in told:
        assert parameter.says, parameter.name
        assert parameter.unit in UNITS, parameter.name
        assert parameter.source or parameter.words, parameter.name
        assert parameter.words or parameter.unit, f"{parameter.name} is neither a number nor a state"
        if parameter.typical is not None:
            parameter.check(parameter.typical)
        for value in parameter.words.values():
            parameter.check(value)
    names = [parameter.name for parameter in told]
    assert len(set(names)) == len(names)
    assert not kind.main_value or kind.main_value in names
    for rating in kind.ratings:
        limits = {parameter.name: parameter.unit for parameter in told}
        assert limits[rating.name] == rating.unit


@pytest.mark.parametrize("name", NAMES)
def test_example_reaches_every_pin_that_is_not_optional(name: str) -> None:
    kind = all_kinds()[name]
    part = kind.example_part()
    assert part.pins
    assert set(settings_of(part)) == set(kind.parameters_of(part))
    joined = {join for element in kind.elements(part) for join in element.joins if not join.startswith("~")}
    assert joined <= set(part.pins)


@pytest.mark.parametrize("name", NAMES)
def test_kind_copes_without_its_optional_pins(name: str) -> None:
    kind = all_kinds()[name]
    whole = kind.example_part()
    for left_out in ((pin,) for pin in kind.optional_pins):
        pins = {pin: net for pin, net in whole.pins.items() if pin not in left_out}
        part = Part(reference="X1", kind=name, pins=pins, values=whole.values, pin_roles=whole.pin_roles)
        joined = {join for element in kind.elements(part) for join in element.joins}
        assert not joined & set(left_out)


@pytest.mark.parametrize("name", NAMES)
def test_currents_of_every_element_sum_to_zero(name: str) -> None:
    for law, _ in laws_of(all_kinds()[name]):
        for row in (*law.rows, *law.store_rows):
            assert sum(weight for where, weight in row.items() if where in law.terminals) == pytest.approx(
                0.0
            )


@pytest.mark.parametrize("name", NAMES)
def test_slopes_agree_with_differences(name: str) -> None:
    rng = np.random.default_rng(20)
    for law, parameters in laws_of(all_kinds()[name]):
        ports = random_ports(law, parameters, rng)
        response = law.respond(ports, parameters)
        assert len(response.values) == len(law.rows)
        assert len(response.slopes) == len(law.pairs)
        slopes = dict(zip(law.pairs, response.slopes, strict=True))
        for port in range(len(ports)):
            coarse = differences(law, ports, parameters, port, STEP)
            fine = differences(law, ports, parameters, port, 0.5 * STEP)
            for output, (rough, good) in enumerate(zip(coarse, fine, strict=True)):
                told = slopes.get((output, port), np.zeros_like(good))
                size = np.abs(response.values[output])
                allowed = 1e-5 * np.abs(good) + 4.0 * np.abs(rough - good) + 1e-9 * (1.0 + size)
                gap = np.abs(told - good)
                worst = int(np.argmax(gap - allowed))
                assert (gap <= allowed).all(), (
                    f"{law.name}: response {output} by port {port} at {[float(p[worst, 0]) for p in ports]}: "
                    f"told {told[worst, 0]:g}, found {good[worst, 0]:g}"
                )


@pytest.mark.parametrize("name", NAMES)
def test_stored_charge_is_linear_with_the_slopes_told(name: str) -> None:
    rng = np.random.default_rng(21)
    for law, parameters in laws_of(all_kinds()[name]):
        if law.store is None:
            continue
        ports = random_ports(law, parameters, rng)
        kept = law.store(ports, parameters)
        assert len(kept.values) == len(law.store_rows)
        for output, value in enumerate(kept.values):
            total = np.zeros_like(value)
            for (row, port), slope in zip(law.store_pairs, kept.slopes, strict=True):
                total = total + (slope * ports[port] if row == output else 0.0)
            np.testing.assert_allclose(total, value, rtol=1e-12, atol=1e-30)


@pytest.mark.parametrize("name", NAMES)
def test_law_stays_finite_at_extremes(name: str) -> None:
    extremes = (-1e3, -1.0, 0.0, 1.0, 1e3)
    for law, parameters in laws_of(all_kinds()[name]):
        grid = np.array(np.meshgrid(*[extremes] * min(len(law.ports), 4))).reshape(min(len(law.ports), 4), -1)
        ports = tuple(grid[k % len(grid)][:, None] for k in range(len(law.ports)))
        response = law.respond(ports, parameters)
        for value in (*response.values, *response.slopes):
            assert np.isfinite(value).all(), law.name


@pytest.mark.parametrize("name", NAMES)
def test_batch_equals_row_by_row(name: str) -> None:
    rng = np.random.default_rng(22)
    for law, parameters in laws_of(all_kinds()[name]):
        ports = random_ports(law, parameters, rng)
        together = law.respond(ports, parameters)
        for row in range(0, SAMPLES, 71):
            alone = law.respond(tuple(p[row : row + 1] for p in ports), parameters)
            for whole, single in zip(
                (*together.values, *together.slopes), (*alone.values, *alone.slopes), strict=True
            ):
                np.testing.assert_allclose(
                    np.broadcast_to(whole, (SAMPLES, 1))[row], np.broadcast_to(single, (1, 1))[0], rtol=1e-13
                )


@pytest.mark.parametrize("name", NAMES)
def test_limited_step_ends_between_old_and_new(name: str) -> None:
    rng = np.random.default_rng(23)
    for law, parameters in laws_of(all_kinds()[name]):
        if law.limit is None:
            continue
        old, new = random_ports(law, parameters, rng), random_ports(law, parameters, rng)
        for before, wished, held in zip(old, new, law.limit(new, old, parameters), strict=True):
            slack = 1e-9 * (np.abs(before) + np.abs(wished))
            assert (held >= np.minimum(before, wished) - slack).all()
            assert (held <= np.maximum(before, wished) + slack).all()


GROUNDS = ("net_ground", "net_supply_minus")


def harness(part: Part) -> Circuit:
    """Build a circuit that ties every pin of a part to a supply of its own through a resistor, grounds firmly."""
    parts = [part]
    for number, net in enumerate(sorted(set(part.pins.values()))):
        parts.append(
            Part(
                reference=f"V{number + 100}",
                kind="dc_supply",
                pins={"plus": f"feed_{number}", "minus": "gnd"},
                values={"voltage": 5.0},
            )
        )
        parts.append(
            Part(
                reference=f"R{number + 100}",
                kind="resistor",
                pins={"1": f"feed_{number}", "2": net},
                values={"resistance": 0.1 if net in GROUNDS else 330.0},
            )
        )
    return Circuit(parts=tuple(parts), ground="gnd")


def in_harness(kind: Kind) -> Part:
    """Build the example part with pins on nets that no other part of the harness uses."""
    part = kind.example_part("X1")
    return Part(
        reference="X1",
        kind=kind.name,
        pins={pin: f"net_{pin}" for pin in part.pins},
        values=part.values,
        pin_roles=part.pin_roles,
    )


@pytest.mark.parametrize("name", NAMES)
def test_example_settles_whatever_its_pins_are_tied_to(name: str) -> None:
    kind = all_kinds()[name]
    circuit = harness(in_harness(kind))
    rng = np.random.default_rng(24)
    feeds = [part.reference for part in circuit.parts if part.kind == "dc_supply" and part.reference != "X1"]
    count = 60
    variations = {(feed, "voltage"): rng.choice([0.0, 5.0, 12.0, -5.0, 0.7], count) for feed in feeds}
    solution = operating_point(circuit, variations=variations)
    assert np.isfinite(solution.outcome.unknowns).all()
    assert solution.settled.all(), [
        {feed: float(values[k]) for (feed, _), values in variations.items()}
        for k in np.flatnonzero(~solution.settled)
    ]
    total = sum(solution.pin_current("X1", pin) for pin in circuit.part("X1").pins)
    assert np.abs(total).max() < 1e-9


@pytest.mark.parametrize("name", NAMES)
def test_every_word_of_every_state_settles(name: str) -> None:
    kind = all_kinds()[name]
    part = in_harness(kind)
    circuit = harness(part)
    feeds = [one.reference for one in circuit.parts if one.kind == "dc_supply" and one.reference != "X1"]
    voltages = {feed: {"voltage": 5.0 * (number % 2)} for number, feed in enumerate(feeds)}
    situations = [
        Situation(name=f"{parameter.name} = {word}", settings={"X1": {parameter.name: word}, **voltages})
        for parameter in kind_of(part).parameters_of(part).values()
        for word in parameter.words
    ]
    if not situations:
        return
    solution = operating_point(circuit, situations=situations)
    assert solution.settled.all(), np.array(solution.labels)[~solution.settled]
