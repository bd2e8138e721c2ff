"""Claim: the power that a device draws from its supply, from DC or from mains."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example
from lidoff.evidence.claim_roles import POWER_TAKEN

MEMBERS = (
    ClaimKind(
        name="power_input",
        title="power taken in",
        unit="W",
        ways=POWER_TAKEN,
        sense="at least",
        says="the power that the device draws from its supply",
        source="power as voltage times current where both are steady; on mains, apparent power times power factor",
        examples=(
            Example(
                says="60 W",
                value="60 W",
                inputs={"voltage": "5.02 V ± 0.02 V", "current": "1.58 A ± 0.02 A"},
                found="7.93 W",  # 5.02 · 1.58 = 7.9316
                verdict="not borne out",
            ),
            Example(
                says="7 W bulb",
                value="7 W",
                inputs={"power": "7.3 W ± 0.1 W"},
                found="7.30 W",
                verdict="borne out",
            ),
            Example(
                says="0.5 W night light",
                value="0.5 W",
                inputs={"apparent_power": "2.4 VA ± 0.05 VA", "power_factor": "0.25 ± 0.01"},
                found="0.600 W",  # 2.4 · 0.25
                verdict="borne out",
            ),
            Example(
                says="40 W",
                value="40 W",
                inputs={
                    "voltage": "230 V ± 2 V",
                    "current": "0.11 A ± 0.002 A",
                    "power_factor": "0.55 ± 0.02",
                },
                found="13.9 W",  # 230 · 0.11 · 0.55 = 13.915
                verdict="not borne out",
            ),
            Example(
                says="9 W lamp",
                value="9 W",
                inputs={"energy": "20.4 Wh ± 0.4 Wh", "time": "3 h ± 1 min"},
                found="6.80 W",  # 20.4 / 3
                verdict="not borne out",
            ),
        ),
    ),
)
