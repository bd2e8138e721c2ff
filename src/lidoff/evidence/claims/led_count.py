"""Claim: how many LEDs there are."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="led_count",
        title="number of LEDs",
        unit="1",
        ways=(as_read(Role(name="count", unit="1", title="number counted")),),
        sense="exactly",
        says="how many LEDs there are",
        source="compared as read",
        examples=(
            Example(
                says="24 LEDs",
                value="24",
                inputs={"count": "24"},
                found="24",
                verdict="borne out",
            ),
        ),
    ),
)
