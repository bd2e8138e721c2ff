"""Claim: a current."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="current",
        title="current",
        unit="A",
        ways=(as_read(Role(name="current", unit="A", title="current", unsigned=True)),),
        sense="about",
        signed=True,
        says="a current",
        source="compared as read",
        examples=(
            Example(
                says="input: 0.5 A",
                value="0.5 A",
                inputs={"current": "0.52 A ± 0.01 A"},
                found="0.520 A",
                verdict="borne out",
            ),
        ),
    ),
)
