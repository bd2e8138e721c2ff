"""An analyst's bench: hidden values within their tolerances, readings taken by a hand-held meter with its own error.

All predictions here go by the solver proper, one circuit at a time, not by the batch of many wirings that is put to the test.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scipy.stats import chi2

from lidoff.circuit import Circuit, Part, Situation, kind_of, operating_point, probe, uncertain_parameters
from lidoff.circuit.path import has_path, path_of
from lidoff.errors import ImpossibleValue, LidoffError
from lidoff.evidence import AcrossPart, InPart, NetVoltage
from lidoff.insight import DeadTest, Slip, Watched, all_slip_kinds
from lidoff.insight.bending import with_bends
from lidoff.insight.candidates import HANDHELD
from lidoff.insight.likelihood import shows_number
from lidoff.insight.scene import scene_of
from lidoff.insight.sifting import traced_of
from lidoff.insight.variant import AS_TRACED, Variant
from lidoff.insight.watched import MOST_DECADES, RANGES
from lidoff.quantities import standard_from_limits

from .gadgets import Gadget

__all__ = ["Bench", "bench_of", "readings_of", "shown_by", "slips_that_show", "usual_readings"]

METER_OHMS = 1e7
ABSENT = 1e15
"""A voltmeter that is not there [Ω]."""
USED_ACCURACY = 0.6
"""Share of its promised accuracy within which a meter's error lies here; our choice."""
UNLIKELY = 1e-3
"""Probability of as large a misfit by chance below which a slip shows."""
SURPRISE = 2.6
"""Standard deviations that a contradicted beep is worth, to count as one; a probability of about 0.03."""
CURRENT_OFF = 0.6
"""Share by which the current of a meter's diode range may lie off the usual one here; our choice."""
POWERED, DEAD, BEEPS = 24, 8, 6
"""Readings at most that are taken: with power beside the supplies' currents, without, and beeps; our choice."""
MEASURES = {"V": "voltage dc", "A": "current dc", "Ω": "resistance"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """One device on the bench: a circuit with its true values, wired as a slip would have it, and one meter."""

    circuit: Circuit
    situations: tuple[Situation, ...]
    variant: Variant
    seed: str


def bench_of(gadget: Gadget, slip: Slip | None, seed: str) -> Bench:
    """A device that truly is what the slip says, its values drawn within their tolerances."""
    draw = random.Random(f"{seed}, values")
    variant = slip.variant if slip is not None else AS_TRACED
    values = {part.reference: dict(part.values) for part in gadget.circuit.parts}
    for reference, name, spread in uncertain_parameters(gadget.circuit):
        part = gadget.circuit.part(reference)
        written = part.values.get(name, kind_of(part).parameters_of(part)[name].typical)
        nominal = variant.values.get((reference, name), written)
        if isinstance(nominal, (int, float)):
            half = spread.limits(float(nominal))
            off = draw.gauss(0.0, 0.5 * half) if spread.normal else draw.uniform(-half, half)
            values[reference][name] = float(nominal) + off
    parts = tuple(replace(part, values=values[part.reference]) for part in gadget.circuit.parts)
    true = replace(gadget.circuit, parts=parts)
    wired = replace(variant, values={}, factors=variant.factors).applied_to(true)
    return Bench(circuit=wired, situations=gadget.situations, variant=variant, seed=seed)


def shown_by(bench: Bench, gadget: Gadget, name: str, target: object, where: str) -> Watched | None:
    """What the meter shows; None where the device has no answer, as a shorted supply."""
    found = readings_of(bench, gadget, [(name, target, where)])
    return found[0] if found else None


def readings_of(bench: Bench, gadget: Gadget, asked: Sequence[tuple[str, object, str]]) -> list[Watched]:
    """All that is asked, as far as the device answers."""
    true = _true_values(bench, gadget, asked)
    found = [_shown(bench, name, target, where, true[name]) for name, target, where in asked if name in true]
    return [one for one in found if one is not None]


def _shown(bench: Bench, name: str, target: object, where: str, true: float) -> Watched | None:
    """Reading of a true value; None where it is beyond the meter, as a short's current."""
    load = METER_OHMS if isinstance(target, (NetVoltage, AcrossPart)) else None
    if isinstance(target, DeadTest):
        target = target.showing(true)
    if isinstance(target, DeadTest) and (target.range_name == "continuity" or true == float("inf")):
        return Watched(name=name, target=target, situation="", value=true, deviation=0.0)
    try:
        value, deviation = _metered(bench, name, true, target.unit)  # type: ignore[attr-defined]
    except ImpossibleValue:
        return None
    factor = bench.variant.factors.get(name, 1.0)
    return Watched(
        name=name,
        target=target,  # type: ignore[arg-type]
        situation="" if isinstance(target, DeadTest) else where,
        value=value / factor,
        deviation=deviation / abs(factor),
        load=load,
    )


def _metered(bench: Bench, name: str, true: float, unit: str) -> tuple[float, float]:
    """A display's value of a true one, and the standard uncertainty that the meter's sheet gives it."""
    span = HANDHELD.range_for(MEASURES[unit], true)
    step = span.step or 0.0
    half = span.limits.half_width(true, step, full_scale=span.full_scale)
    off = random.Random(f"{bench.seed}, {span}").uniform(-USED_ACCURACY, USED_ACCURACY)
    noise = random.Random(f"{bench.seed}, {name}").gauss(0.0, 0.3 * step)
    return round((true + off * half + noise) / step) * step, standard_from_limits(half)


def _true_values(bench: Bench, gadget: Gadget, asked: Sequence[tuple[str, object, str]]) -> dict[str, float]:
    """True value of each reading, the meter in place; those that have none are left out."""
    found: dict[str, float] = {}
    for situation in bench.situations:
        here = [(name, target) for name, target, where in asked if where == situation.name]
        try:
            found.update(_powered(bench, gadget, situation, here))
        except LidoffError:
            continue  # a device that cannot be solved shows nothing that could be told
    for range_name in RANGES:
        tests = [
            (name, target)
            for name, target, _ in asked
            if isinstance(target, DeadTest) and target.range_name == range_name
        ]
        found.update(_dead(bench, gadget, tests))
    # As a meter does that looks for its range by itself.
    for decades in range(1, MOST_DECADES + 1):
        beyond = [
            (name, replace(target, decades=decades))
            for name, target, _ in asked
            if isinstance(target, DeadTest)
            and target.range_name == "resistance"
            and found.get(name) == float("inf")
        ]
        found.update(_dead(bench, gadget, beyond))
    return found


def _powered(
    bench: Bench, gadget: Gadget, situation: Situation, asked: Sequence[tuple[str, object]]
) -> dict[str, float]:
    """Readings of one situation: a sample without meters for currents, then one for each voltmeter."""
    circuit, found = bench.circuit, {}
    ends = {name: _ends(bench, gadget, name, target) for name, target in asked}
    meters = [(name, pair) for name, pair in ends.items() if pair is not None and pair[0] != pair[1]]
    parts = [
        Part(
            reference=f"meter {number}",
            kind="resistor",
            pins={"1": pair[0], "2": pair[1]},
            values={"resistance": ABSENT},
        )
        for number, (_, pair) in enumerate(meters)
    ]
    variations = {
        (f"meter {number}", "resistance"): [
            METER_OHMS if sample == number + 1 else ABSENT for sample in range(len(meters) + 1)
        ]
        for number in range(len(meters))
    }
    solution = operating_point(
        circuit.with_parts(parts), situations=[situation], variations=variations or None
    )
    for number, (name, pair) in enumerate(meters):
        if solution.settled[number + 1]:
            found[name] = float(solution.between(*pair)[number + 1])
    for name, target in asked:
        touched = ends[name]
        if touched is not None and touched[0] == touched[1]:
            found[name] = 0.0
        if isinstance(target, InPart) and solution.settled[0]:
            taken = float(solution.current(target.reference)[0])
            found[name] = -taken if kind_of(circuit.part(target.reference)).supplies else taken
    return found


def _ends(bench: Bench, gadget: Gadget, name: str, target: object) -> tuple[str, str] | None:
    """Nets that a voltmeter truly touches."""
    circuit, variant = bench.circuit, bench.variant
    if isinstance(target, NetVoltage):
        return _net_of(bench, gadget, name, target.net), variant.net_of(target.against or circuit.ground)
    if isinstance(target, AcrossPart):
        part = circuit.part(target.reference)
        seats = {pin.pin: true for pin, true in variant.pads.items() if pin.reference == target.reference}
        first, second = path_of(gadget.circuit.part(target.reference))
        return part.pins[seats.get(first, first)], part.pins[seats.get(second, second)]
    return None


def _dead(bench: Bench, gadget: Gadget, tests: Sequence[tuple[str, DeadTest]]) -> dict[str, float]:
    """Dead tests on one range, each meter's diode range with a current of its own."""
    found: dict[str, float] = {}
    if not tests:
        return found
    meter = tests[0][1].meter
    if meter.name == "diode":
        share = random.Random(f"{bench.seed}, test current").uniform(1.0 - CURRENT_OFF, 1.0 + CURRENT_OFF)
        meter = replace(meter, test_current=share * meter.test_current)
    pairs = [
        (_net_of(bench, gadget, name, test.red), _net_of(bench, gadget, "", test.black))
        for name, test in tests
    ]
    apart = [pair for pair in dict.fromkeys(pairs) if pair[0] != pair[1]]
    shown = probe(bench.circuit, apart, meter) if apart else None
    for (name, _), pair in zip(tests, pairs, strict=True):
        if pair[0] == pair[1]:
            found[name] = 1.0 if meter.name == "continuity" else 0.0
            continue
        place = apart.index(pair)
        if shown is None or not shown.settled[place]:
            continue
        if meter.name == "continuity":
            found[name] = float(shown.beeps[place])
        elif shown.over_range[place]:
            found[name] = float("inf")
        else:
            found[name] = float(shown.volts[place] if meter.name == "diode" else shown.ohms[place])
    return found


def _net_of(bench: Bench, gadget: Gadget, name: str, place: str) -> str:
    if name in bench.variant.probes:
        return bench.variant.probes[name]
    if place in gadget.circuit.nets:
        return bench.variant.net_of(place)
    reference, _, pin = place.rpartition(".")
    seats = {one.pin: true for one, true in bench.variant.pads.items() if one.reference == reference}
    return bench.circuit.part(reference).pins[seats.get(pin, pin)]


def usual_readings(gadget: Gadget, draw: random.Random) -> list[tuple[str, object, str]]:
    """What an analyst reads of a gadget: most nets where it runs, supplies' currents, some parts, some dead tests."""
    circuit = gadget.circuit
    powered: list[tuple[str, object, str]] = []
    found: list[tuple[str, object, str]] = []
    for one in gadget.situations:
        powered.extend(
            (f"{net} in {one.name}", NetVoltage(net=net), one.name)
            for net in circuit.nets
            if net != circuit.ground
        )
        for part in circuit.parts:
            if not has_path(part):
                continue
            if kind_of(part).supplies:
                target = InPart(reference=part.reference, what="current")
                found.append((f"current of {part.reference} in {one.name}", target, one.name))
            elif len(part.pins) == 2 and draw.random() < 0.2:
                across = AcrossPart(reference=part.reference)
                powered.append((f"across {part.reference} in {one.name}", across, one.name))
    found.extend(draw.sample(powered, min(POWERED, round(0.75 * len(powered)))))
    dead: list[tuple[str, object, str]] = []
    for part in circuit.parts:
        red, black = (*part.pins.values(), "", "")[:2]
        if len(part.pins) != 2 or kind_of(part).supplies or red == black:
            continue
        range_name = "resistance" if set(part.pins) == {"1", "2"} else "diode"
        test = DeadTest(red=red, black=black, range_name=range_name)
        dead.append((f"{range_name} over {part.reference}", test, ""))
    found.extend(draw.sample(dead, min(DEAD, len(dead))))
    beeps: list[tuple[str, object, str]] = []
    for pins in circuit.nets.values():
        if len(pins) > 2:
            first, second = draw.sample([str(pin) for pin in pins], 2)
            beep = DeadTest(red=first, black=second, range_name="continuity")
            beeps.append((f"beep {first} to {second}", beep, ""))
    found.extend(draw.sample(beeps, min(BEEPS, len(beeps))))
    return found


def slips_that_show(
    gadget: Gadget, asked: Sequence[tuple[str, object, str]], draw: random.Random, seed: str
) -> tuple[Slip, Bench, list[Watched]]:
    """A slip of a kind drawn evenly that shows in the readings, the device that has it, and what is then read."""
    plain = bench_of(gadget, None, seed)
    before = readings_of(plain, gadget, asked)
    kinds = sorted(all_slip_kinds())
    while True:
        kind = all_slip_kinds()[draw.choice(kinds)]
        proposed = kind.propose(gadget.circuit, before, kind.chance)
        if not proposed:
            continue
        slip = draw.choice(list(proposed))
        bench = bench_of(gadget, slip, seed)
        after = readings_of(bench, gadget, asked)
        if len(after) == len(before) and shows(gadget, after):
            return slip, bench, after


def shows(gadget: Gadget, watched: Sequence[Watched]) -> bool:
    """Whether readings do not fit the circuit as traced: misfit beyond its 99.9 % point, or a beep that says otherwise."""
    traced = traced_of(with_bends(scene_of(gadget.circuit, gadget.situations, watched)))
    numbers = [shows_number(one) for one in watched]
    contradicted = any(
        score > SURPRISE for score, number in zip(traced.scores, numbers, strict=True) if not number
    )
    return contradicted or float(chi2.sf(traced.chi_square, sum(numbers))) < UNLIKELY
