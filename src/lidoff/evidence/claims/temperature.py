"""Claim: how hot it gets."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="temperature",
        title="temperature",
        unit="°C",
        ways=(as_read(Role(name="temperature", unit="°C", title="temperature")),),
        sense="at most",
        signed=True,
        says="how hot it gets",
        source="compared as read",
        cautions="Holds at the room's temperature and after the time that it was read.",
        examples=(
            Example(
                says="stays below 45 °C",
                value="45 °C",
                inputs={"temperature": "61 °C ± 2 °C"},
                found="61 °C",
                verdict="not borne out",
            ),
        ),
    ),
)
