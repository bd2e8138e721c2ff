"""Claim: how loud it is."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="sound_level",
        title="sound level",
        unit="dB",
        ways=(as_read(Role(name="level", unit="dB", title="sound level")),),
        sense="at most",
        signed=True,
        says="how loud it is",
        source="compared as read",
        cautions="Depends on the distance, the room and the weighting, which a box seldom tells.",
        examples=(
            Example(
                says="whisper quiet, < 65 dB",
                value="65 dB",
                inputs={"level": "78 dB ± 3 dB"},
                found="78 dB",
                verdict="not borne out",
            ),
        ),
    ),
)
