"""Write the invented readings of the demo dossiers: ``python -m demos.make_readings``.

The circuit of a dossier is given hidden values from ``truth/``, solved with each voltmeter in place, and read with the
error that the instrument has on that range; the result replaces ``shown = …`` in ``dossier.toml``. The same dossier and truth
always give the same file. ``--check`` writes nothing and ends with 1 if a file would change.
"""

from __future__ import annotations

import argparse
import random
import re
import sys
from collections.abc import Mapping, Sequence
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

from lidoff.circuit import Circuit, Part, Situation, kind_of, operating_point
from lidoff.dossier import FILE_NAME, circuit_of, load_dossier, situations_of
from lidoff.evidence import (
    MEASURES,
    AcrossPart,
    InPart,
    Instrument,
    IntoPin,
    NamedQuantity,
    NetVoltage,
    Range,
    Reading,
    read_text,
    usual_measure,
)
from lidoff.quantities import parse_quantity, resolution_of

from .invention import Invention

HERE = Path(__file__).parent
USED_ACCURACY = 0.6
"""Share of its promised accuracy within which an instrument's error lies here; our choice."""


def true_circuit(circuit: Circuit, truth: Invention) -> Circuit:
    """Circuit with the hidden values, and wired as the device truly is."""
    changed: dict[str, Part] = {}
    for (reference, parameter), value in truth.values.items():
        part = changed.get(reference, circuit.part(reference))
        changed[reference] = replace(part, values={**part.values, parameter: value})
    for (reference, pin), net in truth.rewired.items():
        part = changed.get(reference, circuit.part(reference))
        changed[reference] = replace(part, pins={**part.pins, pin: net})
    return circuit.with_parts(changed.values())


def true_situations(situations: Sequence[Situation], truth: Invention) -> Mapping[str, Situation]:
    """Situations by name, with the hidden values that hold there only."""
    found = {}
    for situation in situations:
        settings = {reference: dict(values) for reference, values in situation.settings.items()}
        for (reference, parameter), value in truth.settings.get(situation.name, {}).items():
            settings.setdefault(reference, {})[parameter] = value
        found[situation.name] = replace(situation, settings=settings)
    return found


def solved_value(
    circuit: Circuit, situation: Situation, reading: Reading, instrument: Instrument, burden: str = ""
) -> float:
    """What the true circuit has where the instrument touches it, the instrument's own load included."""
    target = reading.target
    ends = _touched(circuit, reading)
    if ends and instrument.input_ohms is not None:
        pins = dict(zip(("1", "2"), ends, strict=True))
        meter = Part(
            reference="meter", kind="resistor", pins=pins, values={"resistance": instrument.input_ohms}
        )
        circuit = circuit.with_parts([meter])
    if burden and isinstance(target, InPart):
        circuit = with_ammeter(circuit, target.reference, parse_quantity(burden, unit="Ω").value)
    point = operating_point(circuit, situations=[situation]).at(0)
    if ends:
        return point.voltage(ends[0]) - point.voltage(ends[1])
    if isinstance(target, IntoPin):
        return point.pin_current(target.reference, target.pin)
    if isinstance(target, InPart):
        taken = point.current(target.reference) if target.what == "current" else point.power(target.reference)
        return -taken if kind_of(circuit.part(target.reference)).supplies else taken
    raise TypeError(f"{reading.name} is not about the circuit")


def with_ammeter(circuit: Circuit, reference: str, ohms: float) -> Circuit:
    """Circuit with a meter's burden in the lead to the first pin of a part."""
    part = circuit.part(reference)
    pin = kind_of(part).path[0]
    meter = Part(
        reference="meter",
        kind="wire",
        pins={"1": part.pins[pin], "2": "behind the meter"},
        values={"resistance": ohms},
    )
    return circuit.with_parts([replace(part, pins={**part.pins, pin: "behind the meter"}), meter])


def _touched(circuit: Circuit, reading: Reading) -> tuple[str, str] | None:
    target = reading.target
    if isinstance(target, NetVoltage):
        return target.net, target.against or circuit.ground
    if isinstance(target, AcrossPart):
        part = circuit.part(target.reference)
        first, second = kind_of(part).path
        return part.pins[first], part.pins[second]
    return None


def shown_texts(value: float, reading: Reading, instrument: Instrument, truth: Invention) -> tuple[str, ...]:
    """What the display shows of a true value, once for every repeat.

    The instrument's error is one draw for each of its ranges, so that two readings on one range are off alike.
    """
    span = _range_of(reading, instrument, value)
    step = span.step if span.step is not None else resolution_of(reading.shown[0], unit=span.unit).value
    off = random.Random(f"{truth.seed}, {reading.instrument}, {span}").uniform(-USED_ACCURACY, USED_ACCURACY)
    error = off * span.limits.half_width(value, step, full_scale=span.full_scale)
    chance = random.Random(f"{truth.seed}, {reading.name}")
    width = truth.scatter.get(reading.name, 0.0) * abs(value)
    # The sum of two even draws has a standard deviation of their width over √6.
    repeats = [
        value + error + width * 6.0**0.5 * (chance.random() + chance.random() - 1.0) for _ in reading.shown
    ]
    return tuple(_displayed(repeat, step, span) for repeat in repeats)


def _range_of(reading: Reading, instrument: Instrument, value: float) -> Range:
    unit = reading.target.unit or read_text(reading.shown[0]).unit
    return instrument.range_for(reading.measures or usual_measure(unit), value, reading.on_range)


def _displayed(value: float, step: float, span: Range) -> str:
    """Digits of a display: whole steps, in the unit in which the range is named."""
    label = span.up_to.split()[-1]
    factor = parse_quantity(f"1 {label}", unit=MEASURES[span.measures]).value
    shown_step = step / factor
    decimals = max(0, len(f"{shown_step:.9f}".rstrip("0").partition(".")[2]))
    shown = round(value / step) * shown_step
    return f"{shown:.{decimals}f} {label}".replace("-", "−")


def invented_readings(folder: Path, truth: Invention) -> Mapping[str, tuple[str, ...]]:
    """Texts of every reading that an instrument took; counts by eye stay as they are."""
    dossier = load_dossier(folder)
    circuit = true_circuit(circuit_of(dossier), truth)
    situations = true_situations(situations_of(dossier), truth)
    instruments = {instrument.name: instrument for instrument in dossier.instruments}
    told = truth.quantities(circuit, situations)
    found = {}
    for reading in dossier.readings:
        if not reading.instrument or reading.taken is not None:
            continue
        instrument = instruments[reading.instrument]
        if isinstance(reading.target, NamedQuantity):
            value = told[reading.name]
        else:
            situation = situations[reading.situation]
            value = solved_value(circuit, situation, reading, instrument)
            span = _range_of(reading, instrument, value)
            value = solved_value(circuit, situation, reading, instrument, span.burden)
        found[reading.name] = shown_texts(value, reading, instrument, truth)
    return found


def with_readings(text: str, readings: Mapping[str, tuple[str, ...]]) -> str:
    """Text of a dossier with the line ``shown = …`` of each reading replaced, all else left as it is."""
    for name, shown in readings.items():
        quoted = [f'"{one}"' for one in shown]
        line = f"shown = {quoted[0]}" if len(quoted) == 1 else f"shown = [{', '.join(quoted)}]"
        head = rf"(^\[readings\.{re.escape(name)}\]\n(?:(?!\[).*\n)*?)shown = .*$"
        text, count = re.subn(head, rf"\g<1>{line}", text, count=1, flags=re.MULTILINE)
        if count != 1:
            raise ValueError(f"no line to replace under [readings.{name}]")
    return text


def all_truths() -> Sequence[Invention]:
    """The truths in the folder ``truth``, by name."""
    names = sorted(module.name for module in iter_modules([str(HERE / "truth")]))
    return [import_module(f".truth.{name}", __package__).TRUTH for name in names]


def main(arguments: Sequence[str] | None = None) -> int:
    """Write or check every demo.

    Returns
    -------
    int
        0, or with ``--check`` 1 where a file would change.
    """
    parser = argparse.ArgumentParser(prog="python -m demos.make_readings", description=__doc__)
    parser.add_argument(
        "--check", action="store_true", help="write nothing; end with 1 if a file would change"
    )
    check = parser.parse_args(arguments).check
    stale = False
    for truth in all_truths():
        file = HERE / truth.dossier / FILE_NAME
        before = file.read_text(encoding="utf-8")
        after = with_readings(before, invented_readings(file.parent, truth))
        state = "as it was" if after == before else "would change" if check else "written"
        stale = stale or after != before
        if not check:
            file.write_text(after, encoding="utf-8")
        sys.stdout.write(f"{truth.dossier}: {state}\n")
    return int(check and stale)


if __name__ == "__main__":
    sys.exit(main())
