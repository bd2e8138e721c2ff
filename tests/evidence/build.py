"""Small pieces of evidence for the tests of this room."""

from lidoff.evidence import Claim, FromReading, Instrument, Measured, NamedQuantity, Range, Reading, measure

METER = Instrument(
    name="meter",
    ranges=(
        Range(measures="voltage dc", up_to="6 V", resolution="1 mV", accuracy="±(0.5 % + 3)"),
        Range(measures="voltage dc", up_to="60 V", resolution="10 mV", accuracy="±(0.5 % + 3)"),
        Range(measures="voltage ac", up_to="600 V", resolution="0.1 V", accuracy="±(1 % + 5)"),
        Range(measures="current dc", up_to="10 A", resolution="10 mA", accuracy="±(1 % + 3)"),
    ),
    input_resistance="10 MΩ",
)


def measured(
    name: str, *shown: str, instrument: str = "", measures: str = "", on_range: str = ""
) -> Measured:
    """Evaluate a reading of some named quantity."""
    reading = Reading(
        name=name,
        target=NamedQuantity(name=name),
        shown=shown,
        instrument=instrument,
        measures=measures,
        on_range=on_range,
    )
    return measure(reading, {"meter": METER})


def claim(kind: str, value: str, *, sense: str = "", tolerance: str = "", **inputs: str) -> Claim:
    """Build a claim whose inputs are readings."""
    return Claim(
        name="claim",
        kind=kind,
        says=f"{value}!",
        value=value,
        where="the box",
        sense=sense,
        tolerance=tolerance,
        inputs={role: FromReading(reading=name) for role, name in inputs.items()},
    )
