"""Claim: a voltage."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="voltage",
        title="voltage",
        unit="V",
        ways=(as_read(Role(name="voltage", unit="V", title="voltage")),),
        sense="about",
        signed=True,
        says="a voltage",
        source="compared as read",
        examples=(
            Example(
                says="output 5 V",
                value="5 V",
                inputs={"voltage": "5.08 V ± 0.03 V"},
                found="5.08 V",
                verdict="borne out",
            ),
        ),
    ),
)
