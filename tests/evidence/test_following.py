"""Whether a meter follows what it reads."""

import math

import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence import Instrument, Measured, NamedQuantity, Range, Reading, measure

TRUE_RMS = Range(
    measures="current ac",
    accuracy="±(1.5 % + 3)",
    up_to="6 A",
    resolution="1 mA",
    crest_factor="3",
    band="45 Hz to 1 kHz",
)
OF_THE_MEAN = Range(
    measures="current ac", accuracy="±(1.5 % + 3)", up_to="6 A", resolution="1 mA", responds="mean"
)


def read(span: Range, crest: str = "", frequency: str = "") -> Measured:
    reading = Reading(
        name="mains",
        target=NamedQuantity(name="mains current"),
        shown=("0.110 A",),
        instrument="clamp",
        measures="current ac",
        crest_factor=crest,
        frequency=frequency,
    )
    return measure(reading, {"clamp": Instrument(name="clamp", ranges=(span,))})


@pytest.mark.parametrize(("crest", "doubtful"), [("2.9", False), ("3", False), ("3.1", True)])
def test_a_crest_factor_beyond_the_data_sheet_is_doubted(crest: str, doubtful: bool) -> None:
    assert doubtful == bool(read(TRUE_RMS, crest, "50 Hz").doubts)


def test_the_doubt_tells_both_crest_factors() -> None:
    assert ("the crest factor of 4.5 is above 3, up to which its accuracy holds",) == read(
        TRUE_RMS, "4.5", "50 Hz"
    ).doubts


@pytest.mark.parametrize(
    ("frequency", "doubtful"), [("44 Hz", True), ("45 Hz", False), ("1 kHz", False), ("1.2 kHz", True)]
)
def test_a_frequency_outside_the_band_is_doubted(frequency: str, doubtful: bool) -> None:
    assert doubtful == bool(read(TRUE_RMS, "1.41", frequency).doubts)


def test_a_signal_that_is_not_told_is_taken_for_granted_and_said_so() -> None:
    result = read(TRUE_RMS)
    assert () == result.doubts
    assert [
        "Taken for granted that the crest factor was no more than 3, up to which the accuracy holds.",
        "Taken for granted that the signal lay in 45 Hz to 1 kHz, where the accuracy holds.",
    ] == list(result.notes)


@pytest.mark.parametrize(("crest", "doubtful"), [(f"{math.sqrt(2):.3f}", False), ("1.73", True), ("1", True)])
def test_a_meter_of_the_mean_is_trusted_with_a_sine_alone(crest: str, doubtful: bool) -> None:
    # A triangle has a crest factor of √3, a square wave of 1.
    assert doubtful == bool(read(OF_THE_MEAN, crest).doubts)


def test_a_range_that_states_nothing_raises_no_doubt() -> None:
    plain = Range(measures="current ac", accuracy="±(1.5 % + 3)", up_to="6 A", resolution="1 mA")
    result = read(plain, "9", "9 MHz")
    assert ((), ()) == (result.doubts, result.notes)


@pytest.mark.parametrize(
    ("burden", "ohms"), [("0.1 Ω", 0.1), ("1.8 mV/mA", 1.8), ("100 µV/mA", 0.1), ("0.05 V/A", 0.05)]
)
def test_a_burden_may_be_told_as_volts_per_ampere(burden: str, ohms: float) -> None:
    span = Range(measures="current dc", accuracy="1 %", burden=burden)
    span.check()
    assert ohms == pytest.approx(span.burden_ohms)


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ({"crest_factor": "0.9"}, "a crest factor of 0.9; give one from 1 up"),
        ({"band": "1 kHz to 45 Hz"}, "ends before it begins"),
        ({"burden": "-1 Ω"}, "the burden '-1 Ω' is negative"),
    ],
)
def test_a_range_that_cannot_be_is_refused(told: dict[str, str], said: str) -> None:
    with pytest.raises(ImpossibleValue, match=said):
        Range(measures="current ac", accuracy="1 %", **told).check()


def test_a_range_that_responds_to_something_else_is_refused() -> None:
    with pytest.raises(UnknownName, match="no range responds to 'peak'"):
        Range(measures="current ac", accuracy="1 %", responds="peak").check()
