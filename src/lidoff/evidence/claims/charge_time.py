"""Claim: how long charging takes."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Way
from lidoff.evidence.claim_roles import CHARGE, CURRENT, SECONDS_AN_HOUR, TIME, as_read

MEMBERS = (
    ClaimKind(
        name="charge_time",
        title="charging time",
        unit="s",
        ways=(
            as_read(TIME),
            Way(
                inputs=(CHARGE, CURRENT),
                combine=lambda charge, current: charge / current * SECONDS_AN_HOUR,
                written="{charge} ÷ {current}",
                estimate="charge over current leaves out the tapering end of the charge, so the true time is longer",
                bound="lower",
            ),
        ),
        sense="at most",
        says="how long an empty battery takes to be full",
        source="timed from plugging in to the charger's end, or charge over current as a lower bound",
        examples=(
            Example(
                says="fully charged in 4 hours",
                value="4 h",
                inputs={"time": "3.15 h ± 0.01 h"},
                found="3.150 h",
                verdict="borne out",
            ),
            Example(
                says="charges in 2 h",
                value="2 h",
                inputs={"charge": "2 Ah ± 0.05 Ah", "current": "0.4 A ± 0.01 A"},
                found="5.00 h",  # 2 / 0.4
                verdict="not borne out",
            ),
            Example(
                says="full in 3 h",
                value="3 h",
                inputs={"charge": "2.23 Ah ± 0.04 Ah", "current": "0.98 A ± 0.01 A"},
                found="2.28 h",  # 2.23 / 0.98; how long the end takes, is not in it
                verdict="cannot tell",
            ),
        ),
    ),
)
