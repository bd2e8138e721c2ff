"""Claim: what the device weighs."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="mass",
        title="mass",
        unit="kg",
        ways=(as_read(Role(name="mass", unit="kg", title="mass as weighed")),),
        sense="at most",
        says="what the device weighs",
        source="compared as read",
        examples=(
            Example(
                says="only 330 g",
                value="330 g",
                inputs={"mass": "317 g ± 3 g"},
                found="317 g",
                verdict="borne out",
            ),
        ),
    ),
)
