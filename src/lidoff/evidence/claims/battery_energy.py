"""Claim: the energy that a battery gives."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import CHARGE, CURRENT, ENERGY, SECONDS_AN_HOUR, TIME, as_read

VOLTAGE = Role(name="voltage", unit="V", title="mean voltage over the discharge", unsigned=True)

MEMBERS = (
    ClaimKind(
        name="battery_energy",
        title="battery energy",
        unit="Wh",
        ways=(
            Way(
                inputs=(VOLTAGE, CURRENT, TIME),
                combine=lambda voltage, current, time: voltage * current * time / SECONDS_AN_HOUR,
                written="{voltage} × {current} × {time}",
                steady=True,
            ),
            Way(
                inputs=(VOLTAGE, CHARGE),
                combine=lambda voltage, charge: voltage * charge,
                written="{voltage} × {charge}",
            ),
            as_read(ENERGY),
        ),
        sense="at least",
        says="the energy that the full battery gives until its cut-off",
        source="energy as mean voltage times charge",
        shown_in="Wh",
        examples=(
            Example(
                says="7.4 Wh",
                value="7.4 Wh",
                inputs={"voltage": "3.6 V ± 0.05 V", "current": "0.5 A ± 0.005 A", "time": "2 h ± 2 min"},
                found="3.60 Wh",  # 3.6 · 0.5 · 2
                verdict="not borne out",
            ),
            Example(
                says="7.4 Wh",
                value="7.4 Wh",
                inputs={"voltage": "3.7 V ± 0.05 V", "charge": "2.2 Ah ± 0.03 Ah"},
                found="8.14 Wh",  # 3.7 · 2.2
                verdict="borne out",
            ),
            Example(
                says="37 Wh",
                value="37 Wh",
                inputs={"energy": "25.4 Wh ± 0.5 Wh"},
                found="25.4 Wh",
                verdict="not borne out",
            ),
        ),
    ),
)
