"""Claim: the band of the spectrum that a light lies in."""

from __future__ import annotations

from lidoff.evidence.claim_kind import Band, ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

_UV = "CIE S 017, ILV, 17-21-013 to 17-21-015 (from memory)"
_COLOUR = "common practice, no source"

MEMBERS = (
    ClaimKind(
        name="light_band",
        title="band of the spectrum",
        unit="m",
        ways=(as_read(Role(name="wavelength", unit="m", title="peak wavelength")),),
        sense="within",
        says="whether the peak wavelength lies in the band that is named",
        source="limits of the bands as named",
        shown_in="nm",
        cautions="Judges the peak alone; part of the light may lie in another band.",
        named={
            "UV-A": Band(low="315 nm", high="400 nm", source=_UV),
            "UV-B": Band(low="280 nm", high="315 nm", source=_UV),
            "UV-C": Band(low="100 nm", high="280 nm", source=_UV),
            "violet": Band(low="380 nm", high="450 nm", source=_COLOUR),
            "blue": Band(low="450 nm", high="495 nm", source=_COLOUR),
            "green": Band(low="495 nm", high="570 nm", source=_COLOUR),
            "yellow": Band(low="570 nm", high="590 nm", source=_COLOUR),
            "orange": Band(low="590 nm", high="620 nm", source=_COLOUR),
            "red": Band(low="620 nm", high="750 nm", source=_COLOUR),
            "near infrared": Band(low="780 nm", high="1400 nm", source="IR-A as of the CIE (from memory)"),
        },
        examples=(
            Example(
                says="germ-killing UV-C",
                value="UV-C",
                inputs={"wavelength": "398 nm ± 2 nm"},
                found="398 nm",
                verdict="not borne out",
            ),
        ),
    ),
)
