"""Claim: how long the device runs."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example
from lidoff.evidence.claim_roles import TIMED_OR_DIVIDED

MEMBERS = (
    ClaimKind(
        name="run_time",
        title="run time",
        unit="s",
        ways=TIMED_OR_DIVIDED,
        sense="at least",
        says="how long the device runs from full",
        source="timed from switching on to switching off, or charge over current",
        examples=(
            Example(
                says="up to 15 minutes of cleaning",
                value="15 min",
                inputs={"time": "19.2 min ± 0.1 min"},
                found="19.20 min",
                verdict="borne out",
            ),
            Example(
                says="20 h of light",
                value="20 h",
                inputs={"charge": "1.16 Ah ± 0.02 Ah", "current": "85 mA ± 1 mA"},
                found="13.65 h",  # 1160 / 85 = 13.65
                verdict="not borne out",
            ),
        ),
    ),
)
