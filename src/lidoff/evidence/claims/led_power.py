"""Claim: the power of each LED."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import CURRENT, POWER, VOLTAGE

COUNT = Role(name="count", unit="1", title="number of LEDs")

MEMBERS = (
    ClaimKind(
        name="led_power",
        title="power of one LED",
        unit="W",
        ways=(
            Way(
                inputs=(VOLTAGE, CURRENT),
                combine=lambda voltage, current: voltage * current,
                written="{voltage} × {current}",
                steady=True,
            ),
            Way(
                inputs=(POWER, COUNT),
                combine=lambda power, count: power / count,
                written="{power} ÷ {count}",
                cautions="Takes it that all LEDs get the same.",
            ),
        ),
        sense="at least",
        says="the electrical power that one LED gets",
        source="power as forward voltage times forward current",
        cautions="Electrical power; an LED gives off less than half of it as light, the rest as heat.",
        examples=(
            Example(
                says="3 W LED",
                value="3 W",
                inputs={"voltage": "3.05 V ± 0.02 V", "current": "0.28 A ± 0.005 A"},
                found="0.854 W",  # 3.05 · 0.28
                verdict="not borne out",
            ),
            Example(
                says="24 LEDs of 0.2 W",
                value="0.2 W",
                inputs={"power": "5.4 W ± 0.1 W", "count": "24"},
                found="0.225 W",  # 5.4 / 24
                verdict="borne out",
            ),
        ),
    ),
)
