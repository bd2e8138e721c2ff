"""Claim: the volume of air moved."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="airflow",
        title="air flow",
        unit="m³/s",
        ways=(as_read(Role(name="flow", unit="m³/s", title="air flow", unsigned=True)),),
        sense="at least",
        says="the volume of air moved",
        source="compared as read",
        shown_in="l/min",
        cautions="Depends on what the air is drawn through; a box seldom tells.",
        examples=(
            Example(
                says="powerful 900 l/min",
                value="900 l/min",
                inputs={"flow": "610 l/min ± 40 l/min"},
                found="610 l/min",
                verdict="not borne out",
            ),
        ),
    ),
)
