"""Claim: the supply voltages that a device is made for."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="supply_range",
        title="supply voltages that the device is made for",
        unit="V",
        ways=(
            as_read(Role(name="voltage", unit="V", title="supply voltage at which it worked")),
            Way(
                inputs=(
                    Role(name="lowest", unit="V", title="lowest supply voltage at which it worked"),
                    Role(name="highest", unit="V", title="highest supply voltage at which it worked"),
                ),
                combine=lambda lowest, highest: highest - lowest,
                written="{highest} − {lowest}",
                cautions="Takes it that what works at both voltages works between them.",
            ),
        ),
        sense="about",
        signed=True,
        says="that the device works from one supply voltage to another",
        source="probability that both ends were reached, at least the sum of both less one (Boole and Fréchet)",
        cautions="A reading of the supply tells of the socket, not of the device: what counts is where the device worked. That "
        "it worked does not tell for how long it would, nor how hot it gets.",
        spans=True,
        examples=(
            Example(
                says="AC 220-240 V",
                value="230 V",
                inputs={"voltage": "231 V ± 3 V"},
                verdict="cannot tell",
            ),
            Example(
                says="AC 200-260 V",
                value="230 V",
                inputs={"lowest": "205 V ± 1 V", "highest": "255 V ± 1 V"},  # 230 V ± 10 % are 207 V to 253 V
                verdict="borne out",
            ),
        ),
    ),
)
