"""Claim: how warm a plate gets."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="plate_temperature",
        title="temperature of the plate",
        unit="°C",
        ways=(as_read(Role(name="temperature", unit="°C", title="temperature as measured")),),
        sense="at least",
        says="how warm the plate gets",
        source="compared as read",
        examples=(
            Example(
                says="keeps cups at 55 °C",
                value="55 °C",
                inputs={"temperature": "48 °C ± 2 °C"},
                found="48 °C",
                verdict="not borne out",
            ),
        ),
    ),
)
