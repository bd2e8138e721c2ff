"""Claim: the under-pressure with the inlet closed."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="suction",
        title="suction pressure",
        unit="Pa",
        ways=(as_read(Role(name="pressure", unit="Pa", title="under-pressure", unsigned=True)),),
        sense="at least",
        says="the under-pressure with the inlet closed",
        source="compared as read",
        shown_in="kPa",
        cautions="Pressure at a closed inlet moves no air; see also the suction power.",
        examples=(
            Example(
                says="9000 Pa suction",
                value="9000 Pa",
                inputs={"pressure": "5700 Pa ± 300 Pa"},
                found="5700 Pa",
                verdict="not borne out",
            ),
        ),
    ),
)
