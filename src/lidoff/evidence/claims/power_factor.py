"""Claim: the share of the apparent power that does work."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Way
from lidoff.evidence.claim_roles import APPARENT_POWER, CURRENT, POWER, POWER_FACTOR, VOLTAGE, as_read

MEMBERS = (
    ClaimKind(
        name="power_factor",
        title="power factor",
        unit="1",
        ways=(
            as_read(POWER_FACTOR),
            Way(
                inputs=(POWER, APPARENT_POWER),
                combine=lambda power, apparent_power: power / apparent_power,
                written="{power} ÷ {apparent_power}",
            ),
            Way(
                inputs=(POWER, VOLTAGE, CURRENT),
                combine=lambda power, voltage, current: power / (voltage * current),
                written="{power} ÷ ({voltage} × {current})",
                cautions="Volts and amperes must be true rms values.",
            ),
        ),
        sense="at least",
        says="power over apparent power, distorted currents included",
        shown_in="1",
        source="definition of the power factor, as in IEC 60050-131, 131-11-46 (from memory)",
        examples=(
            Example(
                says="PF > 0.9",
                value="0.9",
                inputs={"power_factor": "0.55 ± 0.02"},
                found="0.55",
                verdict="not borne out",
            ),
            Example(
                says="PF > 0.9",
                value="0.9",
                inputs={"power": "13.9 W ± 0.2 W", "apparent_power": "25.3 VA ± 0.4 VA"},
                found="0.549",  # 13.9 / 25.3 = 0.5494
                verdict="not borne out",
            ),
            Example(
                says="PF > 0.5",
                value="0.5",
                inputs={
                    "power": "13.9 W ± 0.2 W",
                    "voltage": "230 V ± 2 V",
                    "current": "0.11 A ± 0.002 A",
                },
                found="0.549",
                verdict="borne out",
            ),
        ),
    ),
)
