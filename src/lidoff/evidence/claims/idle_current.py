"""Claim: the current that the device draws when it does nothing."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="idle_current",
        title="current drawn while idle",
        unit="A",
        ways=(as_read(Role(name="current", unit="A", title="current while idle", unsigned=True)),),
        sense="at most",
        says="the current that the device draws when it does nothing",
        source="compared as read",
        cautions="An ammeter's burden can keep a sleeping device from waking; see the meter's load.",
        examples=(
            Example(
                says="sleeps at 10 µA",
                value="10 µA",
                inputs={"current": "84 µA ± 2 µA"},
                found="84 µA",
                verdict="not borne out",
            ),
        ),
    ),
)
