"""Readings whose repeats were taken at the same moments scatter together."""

import math
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats
from scipy.integrate import quad
from scipy.optimize import brentq

from lidoff.evidence import Claim, FromReading, FromStatement, Measured, judge
from lidoff.evidence.claim_draws import drawn_sum
from lidoff.evidence.claim_inputs import Input, correlations_of
from lidoff.evidence.claim_kind import Role
from tests.evidence.build import measured
from tests.evidence.test_judge import unsolved

# JCGM 100:2008, Table H.2, as transcribed in the GTC library's examples: five pairs; the printed correlation is −0.36.
VOLTS = ("5.007 V ± 0 V", "4.994 V ± 0 V", "5.005 V ± 0 V", "4.990 V ± 0 V", "4.999 V ± 0 V")
AMPS = ("19.663 mA ± 0 A", "19.639 mA ± 0 A", "19.640 mA ± 0 A", "19.685 mA ± 0 A", "19.678 mA ± 0 A")
PRINTED = -0.36


def together(name: str, shown: tuple[str, ...], *, read_with: str = "") -> Measured:
    plain = measured(name, *shown)
    # Digits count for nothing here, so that only the scatter is left.
    bare = replace(plain, resolution=0.0, quantity=replace(plain.quantity, uncertainty=plain.scatter))
    return replace(bare, reading=replace(bare.reading, read_with=read_with))


def power_of(volts: Measured, amps: Measured) -> float:
    claim = Claim(
        name="p",
        kind="power_input",
        says="0.1 W",
        value="0.1 W",
        inputs={"voltage": FromReading(reading="volts"), "current": FromReading(reading="amps")},
    )
    found = judge(claim, {"volts": volts, "amps": amps}, unsolved).found
    assert found is not None
    return found.uncertainty / found.value


def share(one: Measured) -> float:
    return one.quantity.uncertainty / one.quantity.value


def test_the_correlation_of_what_was_read_together_counts_in_a_product() -> None:
    volts, amps = together("volts", VOLTS), together("amps", AMPS, read_with="volts")
    expected = math.sqrt(share(volts) ** 2 + share(amps) ** 2 + 2 * PRINTED * share(volts) * share(amps))
    # Half the last printed digit of the correlation moves it by 0.7 %; the draws, where they count, by half a per cent.
    assert expected == pytest.approx(power_of(volts, amps), rel=0.012)


def test_what_was_not_read_together_is_independent() -> None:
    # The sum of two independent t with four degrees of freedom each, by integration over one of them; its 95 % interval is
    # wider than that of the effective degrees of freedom, so the draws count (JCGM 101:2008, 8.1).
    volts, amps = together("volts", VOLTS), together("amps", AMPS)
    one, other = share(volts), share(amps)

    def above(limit: float) -> float:
        tail, _ = quad(
            lambda t: stats.t.pdf(t, 4) * stats.t.sf((limit - one * t) / other, 4), -np.inf, np.inf
        )
        return float(tail)

    half = brentq(lambda limit: above(limit) - 0.025, 1e-5, 1e-2)
    dof = math.hypot(one, other) ** 4 / ((one**4 + other**4) / 4.0)  # Welch and Satterthwaite
    expected = half / stats.t.ppf(0.975, dof)
    assert expected == pytest.approx(power_of(volts, amps), rel=0.02)


def inputs(*readings: Measured) -> list[Input]:
    return [
        Input(
            role=Role(name=one.name, unit=one.quantity.unit, title=one.name),
            source=one.name,
            quantity=one.quantity,
            measured=one,
        )
        for one in readings
    ]


def test_the_note_tells_the_correlation() -> None:
    _, notes = correlations_of(inputs(together("volts", VOLTS), together("amps", AMPS, read_with="volts")))
    assert any("scatter together, with a correlation of −0.36" in note.replace("-", "−") for note in notes)


def test_draws_scatter_together_as_the_repeats_do() -> None:
    pair = inputs(together("volts", VOLTS), together("amps", AMPS, read_with="volts"))
    kept: list[NDArray[np.float64]] = []

    def keep(volts: NDArray[np.float64], amps: NDArray[np.float64]) -> NDArray[np.float64]:
        kept.extend((volts, amps))
        return volts

    drawn_sum(keep, pair, unit="V")
    # Student's t with four degrees of freedom scatters its own correlation by about a per cent over 100 000 draws.
    assert PRINTED == pytest.approx(np.corrcoef(kept[0], kept[1])[0, 1], abs=0.02)


def test_two_readings_tied_to_a_third_were_read_together() -> None:
    pair = inputs(together("a", VOLTS, read_with="clock"), together("b", VOLTS, read_with="clock"))
    correlations, _ = correlations_of(pair)
    assert correlations is not None
    assert 1.0 == pytest.approx(correlations[0][1])


def test_unequal_numbers_of_repeats_are_not_taken_as_together() -> None:
    pair = inputs(together("volts", VOLTS), together("amps", AMPS[:4], read_with="volts"))
    assert (None, ()) == correlations_of(pair)


def test_three_repeats_leave_the_interval_of_their_t() -> None:
    # Student's t has no standard deviation at two degrees of freedom; its 95 % interval is ± 4.30 u (Table G.2).
    one = together("volts", ("1.0 V ± 0 V", "2.0 V ± 0 V", "3.0 V ± 0 V"))
    drawn = drawn_sum(lambda volts: volts, inputs(one), unit="V", dof=2.0)
    assert 2.0 == pytest.approx(drawn.quantity.value, abs=0.02)
    assert 4.30 * one.scatter == pytest.approx(0.5 * (drawn.high - drawn.low), rel=0.03)
    assert one.scatter == pytest.approx(drawn.quantity.uncertainty, rel=0.03)


def test_a_stated_input_is_independent_of_a_reading() -> None:
    claim = Claim(
        name="p",
        kind="power_input",
        says="0.1 W",
        value="0.1 W",
        inputs={
            "voltage": FromReading(reading="volts"),
            "current": FromStatement(value="20 mA ± 0.2 mA", why="told"),
        },
    )
    volts = together("volts", VOLTS)
    found = judge(claim, {"volts": volts}, unsolved).found
    assert found is not None
    assert math.hypot(share(volts), 0.005) == pytest.approx(found.uncertainty / found.value, rel=0.01)
