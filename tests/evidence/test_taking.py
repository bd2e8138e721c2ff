"""Readings taken from a log."""

import math
from dataclasses import replace

import pytest

from lidoff.errors import ImpossibleValue, LidoffError
from lidoff.evidence import (
    Claim,
    FromReading,
    InPart,
    Instrument,
    Logged,
    LogTake,
    Measured,
    NamedQuantity,
    NotBorneOut,
    Range,
    Reading,
    judge,
    measure,
    moment_in,
    read_log,
    summary_of,
)

LOAD = Instrument(
    name="load",
    ranges=(
        Range(measures="current dc", up_to="5 A", resolution="1 mA", accuracy="±(0.5 % + 2)"),
        Range(measures="voltage dc", up_to="20 V", resolution="1 mV", accuracy="±0.2 %"),
        Range(measures="time", accuracy="0.01 %"),
    ),
)


def discharge() -> Logged:
    """Half an ampere for two hours after a minute of rest, 4.2 V falling to 3.0 V; then off."""
    rows = []
    for t in range(0, 7800, 10):
        on = 60 <= t < 7260
        volts = 4.2 - 1.2 * (t - 60) / 7200 if on else 4.2 if t < 60 else 3.3
        rows.append(f"{t},{volts:.3f},{0.5 if on else 0:.3f}")
    log = read_log(("t [s],U [V],I [A]\n" + "\n".join(rows) + "\n").encode(), name="discharge.csv")
    return Logged(log=log, instrument="load")


def taken(take: str, *channels: str, starts: str = "", ends: str = "", target: object = None) -> Measured:
    reading = Reading(
        name="taken",
        target=target if isinstance(target, InPart) else NamedQuantity(name="it"),
        taken=LogTake(log="discharge", take=take, channels=channels, starts=starts, ends=ends),
    )
    return measure(reading, {"load": LOAD}, {"discharge": discharge()})


def test_charge_until_the_current_stops() -> None:
    found = taken("charge", "I", ends="I stops")
    assert 1.0 == pytest.approx(found.quantity.value, abs=2e-3)
    # ±(0.5 % of 0.5 A + 2 mA) for two hours.
    assert 9e-3 / math.sqrt(3.0) == pytest.approx(found.accuracy, rel=5e-3)


def test_charge_until_a_level_is_passed() -> None:
    assert 0.5 == pytest.approx(taken("charge", "I", ends="U < 3.6 V").quantity.value, abs=2e-3)


def test_energy_of_voltage_and_current() -> None:
    assert 3.6 == pytest.approx(taken("energy", "U", "I").quantity.value, abs=0.01)


def test_a_charge_while_it_ran_is_the_one_told_of_that_run() -> None:
    logged = discharge()
    charge, energy = (one.integral.quantity for one in summary_of(logged.log).runs[0].sums)
    while_on = {"starts": "I runs", "ends": "I stops"}
    reading = Reading(
        name="taken",
        target=NamedQuantity(name="it"),
        taken=LogTake(log="discharge", take="charge", channels=("I",), **while_on),
    )
    alone = Logged(log=logged.log)
    assert charge == measure(reading, {}, {"discharge": alone}).quantity
    reading = replace(reading, taken=LogTake(log="discharge", take="energy", channels=("U", "I"), **while_on))
    assert energy == measure(reading, {}, {"discharge": alone}).quantity


def test_how_long_it_ran() -> None:
    found = taken("duration", starts="I runs", ends="I stops")
    assert 7200.0 == pytest.approx(found.quantity.value)
    # Each end lies anywhere between two rows, 10 s apart.
    assert math.hypot(5.0, 5.0) / math.sqrt(3.0) == pytest.approx(found.sampling)
    assert 0.72 / math.sqrt(3.0) == pytest.approx(found.accuracy)


def test_a_mean_in_the_circuit_keeps_the_targets_unit() -> None:
    found = taken("mean", "I", starts="120 s", ends="0:10:00", target=InPart(what="current", reference="M1"))
    assert "A" == found.quantity.unit
    assert 0.5 == pytest.approx(found.quantity.value)


@pytest.mark.parametrize(("take", "volts"), [("highest", 4.2), ("lowest", 3.0)])
def test_highest_and_lowest_have_the_instruments_error(take: str, volts: float) -> None:
    found = taken(take, "U")
    assert volts == pytest.approx(found.quantity.value, abs=2e-3)
    assert 0.002 * found.quantity.value / math.sqrt(3.0) == pytest.approx(found.accuracy)


@pytest.mark.parametrize(
    ("take", "channels", "ends", "words"),
    [
        ("charge", ("U",), "", "make neither charge nor energy"),
        ("charge", ("I", "U"), "", "charge of 2 channels; name one channel"),
        ("energy", ("I",), "", "make Ah, which is no energy"),
        ("charge", ("J",), "", "has no channel 'J'"),
        ("charge", ("I",), "U < 1 V", "U never falls below 1 V"),
        ("duration", (), "P stops", "has no channel 'P'"),
        ("volume", ("I",), "", "nothing called 'volume' is taken from a log"),
        ("mean", (), "", "mean of 0 channels"),
    ],
)
def test_what_cannot_be_taken_is_refused(take: str, channels: tuple[str, ...], ends: str, words: str) -> None:
    with pytest.raises(LidoffError, match=words):
        taken(take, *channels, ends=ends)


def test_a_log_that_is_not_there_is_refused() -> None:
    reading = Reading(
        name="r",
        target=NamedQuantity(name="it"),
        taken=LogTake(log="discharg", take="charge", channels=("I",)),
    )
    with pytest.raises(LidoffError, match="there is no log 'discharg'; did you mean 'discharge'"):
        measure(reading, {"load": LOAD}, {"discharge": discharge()})


def test_a_channel_that_never_runs_is_refused() -> None:
    log = read_log(b"t [s],I [A]\n0,0\n1,0\n")
    with pytest.raises(ImpossibleValue, match="I never runs"):
        moment_in(log, "I stops")


def test_a_take_says_what_it_takes() -> None:
    assert "charge of I until U < 3 V in the log discharge" == str(
        LogTake(log="discharge", take="charge", channels=("I",), ends="U < 3 V")
    )


def test_a_claim_is_judged_from_a_log() -> None:
    found = taken("charge", "I", ends="I stops")
    claim = Claim(
        name="c",
        kind="battery_capacity",
        says="2000 mAh",
        value="2000 mAh",
        inputs={"charge": FromReading(reading="taken")},
    )
    result = judge(claim, {"taken": found}, lambda _: found.quantity)
    assert isinstance(result.verdict, NotBorneOut)
