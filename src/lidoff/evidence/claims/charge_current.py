"""Claim: the current into the battery."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="charge_current",
        title="charging current",
        unit="A",
        ways=(as_read(Role(name="current", unit="A", title="current into the battery", unsigned=True)),),
        sense="at least",
        says="the current into the battery",
        source="compared as read",
        cautions="Its amount counts, whichever way it was counted; whether it flows into the battery, the situation tells.",
        examples=(
            Example(
                says="2 A fast charge",
                value="2 A",
                inputs={"current": "0.94 A ± 0.02 A"},
                found="0.94 A",
                verdict="not borne out",
            ),
            Example(
                says="charges at 450 mA",
                value="450 mA",
                inputs={"current": "-496 mA ± 5 mA"},
                found="496 mA",
                verdict="borne out",
            ),
        ),
    ),
)
