"""Claim: any quantity that a reading tells and no other kind knows."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="measured_value",
        title="claimed quantity",
        unit="",
        ways=(as_read(Role(name="value", unit="", title="claimed quantity")),),
        sense="about",
        signed=True,
        says="any quantity that a reading tells",
        source="compared as read",
        examples=(
            Example(
                says="1.5 m cable",
                value="1.5 m",
                inputs={"value": "0.98 m ± 0.01 m"},
                found="0.980 m",
                verdict="not borne out",
            ),
        ),
    ),
)
