"""Claim: the light on a surface."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="illuminance",
        title="illuminance",
        unit="lx",
        ways=(as_read(Role(name="illuminance", unit="lx", title="illuminance")),),
        sense="at least",
        says="the light on a surface",
        source="compared as read",
        cautions="Holds at one distance, which a box seldom tells.",
        examples=(
            Example(
                says="1000 lux at the desk",
                value="1000 lx",
                inputs={"illuminance": "640 lx ± 40 lx"},
                found="640 lx",
                verdict="not borne out",
            ),
        ),
    ),
)
