"""Whether verdicts are right as often as they say, over many invented devices whose truth is known."""

from __future__ import annotations

import random
from collections import Counter

import pytest

from lidoff.evidence import Claim, FromReading, Instrument, NamedQuantity, Range, Reading, judge, measure
from tests.evidence.test_judge import unsolved

METER = Instrument(
    name="meter",
    ranges=(
        Range(measures="voltage dc", up_to="60 V", resolution="0.01 V", accuracy="±(0.8 % + 3)"),
        Range(measures="current dc", up_to="10 A", resolution="0.01 A", accuracy="±(1.5 % + 3)"),
    ),
)
CASES = 600


def shown(truth: float, measures: str, chance: random.Random) -> str:
    """What a display shows of a true value: an error anywhere within the promise, rounded to its step."""
    span = METER.range_for(measures, truth)
    assert span.step is not None
    half = span.limits.half_width(truth, span.step)
    value = round((truth + half * (2.0 * chance.random() - 1.0)) / span.step) * span.step
    return f"{value:.2f} {span.unit}"


def verdicts(kind: str, seed: str) -> Counter[tuple[str, bool]]:
    """How often each verdict came out, and whether the claim was true."""
    chance = random.Random(seed)
    found: Counter[tuple[str, bool]] = Counter()
    for _ in range(CASES):
        volts, amps = chance.uniform(3.0, 50.0), chance.uniform(0.5, 9.0)
        truth = volts if kind == "voltage" else volts * amps
        claimed = truth * chance.uniform(0.95, 1.05)
        readings = {
            "u": Reading(
                name="u",
                target=NamedQuantity(name="u"),
                instrument="meter",
                shown=(shown(volts, "voltage dc", chance),),
            ),
            "i": Reading(
                name="i",
                target=NamedQuantity(name="i"),
                instrument="meter",
                shown=(shown(amps, "current dc", chance),),
            ),
        }
        inputs = {"voltage": FromReading(reading="u")}
        if kind != "voltage":
            inputs["current"] = FromReading(reading="i")
        unit = "V" if kind == "voltage" else "W"
        claim = Claim(
            name="c", kind=kind, says="x", value=f"{claimed!r} {unit}", sense="at least", inputs=dict(inputs)
        )
        measured = {name: measure(one, {"meter": METER}) for name, one in readings.items()}
        found[judge(claim, measured, unsolved).verdict.words, truth >= claimed] += 1
    return found


@pytest.mark.parametrize("kind", ["voltage", "power_input"])
def test_verdicts_are_right_at_least_as_often_as_they_say(kind: str) -> None:
    found = verdicts(kind, f"calibration of {kind}")
    borne, not_borne = (found[words, True] + found[words, False] for words in ("borne out", "not borne out"))
    assert min(borne, not_borne) > 100, found
    assert found["borne out", False] <= 0.05 * borne, found
    assert found["not borne out", True] <= 0.05 * not_borne, found
    # A judge who never dares would pass the two lines above.
    assert borne + not_borne > 0.45 * CASES, found
