"""Claim: the electrical power that the working part gets."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example
from lidoff.evidence.claim_roles import AS_READ_POWER, ENERGY_OVER_TIME, VOLTAGE_TIMES_CURRENT

MEMBERS = (
    ClaimKind(
        name="power_output",
        title="power given to a motor, lamp or heater",
        unit="W",
        ways=(VOLTAGE_TIMES_CURRENT, AS_READ_POWER, ENERGY_OVER_TIME),
        sense="at least",
        says="the electrical power that the working part gets",
        source="power as voltage times current, both steady",
        cautions="Electrical power; what comes out as motion, light or heat is less.",
        examples=(
            Example(
                says="60 W motor",
                value="60 W",
                inputs={"voltage": "3.267 V ± 0.008 V", "current": "3.56 A ± 0.14 A"},
                found="11.6 W",  # 3.267 · 3.56 = 11.63
                verdict="not borne out",
            ),
            Example(
                says="20 W heater",
                value="20 W",
                inputs={"power": "21.4 W ± 0.3 W"},
                found="21.4 W",
                verdict="borne out",
            ),
            Example(
                says="20 W heater",
                value="20 W",
                inputs={"energy": "10.7 Wh ± 0.2 Wh", "time": "30 min ± 10 s"},
                found="21.4 W",  # 10.7 / 0.5
                verdict="borne out",
            ),
        ),
    ),
)
