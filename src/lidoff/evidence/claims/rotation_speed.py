"""Claim: how fast it turns."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="rotation_speed",
        title="speed of rotation",
        unit="rad/s",
        ways=(as_read(Role(name="speed", unit="rad/s", title="speed", unsigned=True)),),
        sense="about",
        says="how fast it turns",
        source="compared as read",
        shown_in="rpm",
        examples=(
            Example(
                says="30000 rpm motor",
                value="30000 rpm",
                inputs={"speed": "18200 rpm ± 200 rpm"},
                found="18200 rpm",
                verdict="not borne out",
            ),
        ),
    ),
)
