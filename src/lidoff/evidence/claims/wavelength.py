"""Claim: the peak wavelength of the light."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="wavelength",
        title="wavelength",
        unit="m",
        ways=(as_read(Role(name="wavelength", unit="m", title="peak wavelength")),),
        sense="about",
        says="the peak wavelength of the light",
        source="compared as read",
        shown_in="nm",
        cautions="A tenth is wide for light: grant what the use asks for.",
        examples=(
            Example(
                says="365 nm UV",
                value="365 nm",
                inputs={"wavelength": "398 nm ± 2 nm"},
                found="398 nm",
                verdict="borne out",
            ),
        ),
    ),
)
