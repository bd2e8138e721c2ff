"""Claim: the power that a device draws when it does nothing."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example
from lidoff.evidence.claim_roles import POWER_TAKEN

MEMBERS = (
    ClaimKind(
        name="idle_power",
        title="power drawn while idle",
        unit="W",
        ways=POWER_TAKEN,
        sense="at most",
        says="the power that the device draws when it does nothing",
        source="power as voltage times current where both are steady; on mains, apparent power times power factor",
        cautions="On mains a meter that is not made for small loads can be wrong by more than the load.",
        examples=(
            Example(
                says="standby < 10 mW",
                value="10 mW",
                inputs={"voltage": "5 V ± 0.02 V", "current": "0.6 mA ± 0.01 mA"},
                found="3.00 mW",
                verdict="borne out",
            ),
            Example(
                says="standby 0.3 W",
                value="0.3 W",
                inputs={"power": "0.42 W ± 0.02 W"},
                found="0.42 W",
                verdict="not borne out",
            ),
            Example(
                says="standby 0.3 W",
                value="0.3 W",
                inputs={"apparent_power": "2.5 VA ± 0.1 VA", "power_factor": "0.1 ± 0.01"},
                found="0.250 W",
                verdict="borne out",
            ),
            Example(
                says="standby 0.5 W",
                value="0.5 W",
                inputs={
                    "voltage": "230 V ± 2 V",
                    "current": "11 mA ± 0.2 mA",
                    "power_factor": "0.12 ± 0.01",
                },
                found="0.304 W",  # 230 · 0.011 · 0.12 = 0.3036
                verdict="borne out",
            ),
            Example(
                says="standby 0.3 W",
                value="0.3 W",
                inputs={"energy": "9.6 Wh ± 0.2 Wh", "time": "24 h ± 1 min"},
                found="0.400 W",  # 9.6 / 24
                verdict="not borne out",
            ),
        ),
    ),
)
