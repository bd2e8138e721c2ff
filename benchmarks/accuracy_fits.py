"""How often fitted values and their uncertainty hold the truth, on the demos, as a section of text."""

from __future__ import annotations

import random
import sys
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any

from benchmarks.records import recorded
from lidoff.dossier import load_dossier
from lidoff.evidence import NamedQuantity
from lidoff.insight import Watched, fitted_value
from lidoff.insight.refining import posterior
from lidoff.insight.scene import scene_of
from tests.slipped.bench import Bench, bench_of, shown_by
from tests.slipped.gadgets import DEMOS, HOME, Gadget, all_gadgets

__all__ = ["Coverage", "coverage_of", "section", "told"]

DEVICES = 20
SEED = 93
TWO_SIDED = 1.96
"""Standard uncertainties of a 95 % interval of a normal distribution."""
NARROWED = 0.8
"""Parameters count that the readings narrow to at most this share of their tolerance."""
FAR = (1.3, 3.0)
"""Times by which a free value lies off the written one, up or down."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """How often intervals held the truth, of how many."""

    gadget: str
    held: int
    of: int
    free_held: int
    free_of: int
    devices: int = 1


def readings_like(
    name: str, gadget: Gadget, seed: str, changed: dict[tuple[str, str], float]
) -> tuple[Bench, list[Watched]]:
    """A device with values drawn anew, and its dossier's readings taken of it."""
    bench = bench_of(gadget, None, seed)
    for (reference, parameter), value in changed.items():
        part = bench.circuit.part(reference)
        part = replace(part, values={**part.values, parameter: value})
        bench = replace(bench, circuit=bench.circuit.with_parts([part]))
    places = {one.name for one in gadget.situations}
    watched: list[Watched] = []
    for reading in load_dossier(HOME / name).readings:
        if isinstance(reading.target, NamedQuantity) or reading.situation not in places:
            continue
        found = shown_by(bench, gadget, reading.name, reading.target, reading.situation)
        if found is not None:
            watched.append(found)
    return bench, watched


def device(name: str, number: int) -> Coverage:
    """Coverage on one device of a demo: values within their tolerances, and one value far beyond them."""
    gadget = next(one for one in all_gadgets() if one.name == name)
    held = of = 0
    bench, watched = readings_like(name, gadget, f"{SEED}, {number}", {})
    scene = scene_of(gadget.circuit, gadget.situations, watched)
    moved, left = posterior(scene)
    for k, (reference, parameter, spread) in enumerate(scene.tolerances.parameters):
        if left[k] > NARROWED:
            continue
        written = float(scene.plain_table[reference, parameter][0])
        true = float(bench.circuit.part(reference).values.get(parameter, written))
        off = (true - written) / spread.standard(written)
        of += 1
        held += int(abs(moved[k] - off) <= TWO_SIDED * left[k])
    one = _free(name, gadget, number)
    return Coverage(gadget=name, held=held, of=of, free_held=int(bool(one)), free_of=int(one is not None))


def coverage_of(name: str, devices: int = DEVICES) -> Coverage:
    """Coverage on all devices of a demo."""

    def work(key: str) -> dict[str, Any]:
        return asdict(device(name, int(key.split()[-1])))

    found = recorded("fits", [f"{SEED} {name} {number}" for number in range(devices)], work)
    sums = {key: sum(int(one[key]) for one in found) for key in ("held", "of", "free_held", "free_of")}
    return Coverage(gadget=name, devices=len(found), **sums)


def _free(name: str, gadget: Gadget, number: int) -> bool | None:
    """Whether the fitted value of one resistor far off what is written holds the truth; None where readings tell no value."""
    draw = random.Random(f"{SEED}, free, {number}, {name}")
    part = draw.choice([one for one in gadget.circuit.parts if one.kind == "resistor"])
    times = draw.uniform(*FAR) ** draw.choice((-1, 1))
    true = times * float(part.values["resistance"])
    _, watched = readings_like(
        name, gadget, f"{SEED}, free, {number}", {(part.reference, "resistance"): true}
    )
    scene = scene_of(gadget.circuit, gadget.situations, watched)
    found = fitted_value(scene, part.reference, "resistance")
    if found is None or not found.uncertainty < 0.3 * found.value:
        return None
    return bool(abs(found.value - true) <= TWO_SIDED * found.uncertainty)


def told(found: Sequence[Coverage]) -> str:
    """Section of the page for some devices of each demo."""
    rows = "\n".join(
        f"| {one.gadget} | {one.devices} | {one.held} of {one.of} ({one.held / one.of:.1%}) "
        f"| {one.free_held} of {one.free_of} |"
        for one in found
    )
    held, of = sum(one.held for one in found), sum(one.of for one in found)
    free_held, free_of = sum(one.free_held for one in found), sum(one.free_of for one in found)
    devices = sum(one.devices for one in found)
    free = f"{free_held} of {free_of} ({free_held / max(free_of, 1):.1%})"
    return f"""## Fitted values

Devices of each demo, every uncertain value drawn evenly within its tolerance and read as the dossier's readings
were, by a meter with an error of its own. Counted is how often the 95 % interval of a value holds the truth, for values
that the readings narrow to {NARROWED:.0%} of their tolerance or less; and of one resistor a device that is {FAR[0]} to {FAR[1]}
times off what is written, fitted as a free value, where the readings tell it to 30 %.

| demo | devices | values within tolerance | free values |
|---|---|---|---|
{rows}
| all | {devices} | {held} of {of} ({held / of:.1%}) | {free} |

The aim is 90 to 99 %.
"""


def section() -> str:
    """Section of the page, every device read anew."""
    return told([coverage_of(name) for name in DEMOS])


if __name__ == "__main__":
    words = [word for word in sys.argv[1:] if not word.startswith("--")]
    for name in words:
        coverage_of(name)
    if not words:
        print(section())
