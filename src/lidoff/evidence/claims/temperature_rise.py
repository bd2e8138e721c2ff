"""Claim: how much warmer than the room it gets."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import as_read

MEMBERS = (
    ClaimKind(
        name="temperature_rise",
        title="temperature rise",
        unit="K",
        ways=(
            Way(
                inputs=(
                    Role(name="temperature", unit="°C", title="temperature"),
                    Role(name="room", unit="°C", title="temperature of the room"),
                ),
                combine=lambda temperature, room: temperature - room,
                written="{temperature} − {room}",
            ),
            as_read(Role(name="rise", unit="K", title="temperature rise")),
        ),
        sense="at most",
        signed=True,
        says="how much warmer than the room it gets",
        source="difference of two temperatures",
        cautions="Holds after the time that it was read; most gadgets need half an hour to settle.",
        examples=(
            Example(
                says="less than 20 K above the room",
                value="20 K",
                inputs={"temperature": "61 °C ± 2 °C", "room": "22 °C ± 1 °C"},
                found="39.0 K",
                verdict="not borne out",
            ),
            Example(
                says="stays cool, under 30 K",
                value="30 K",
                inputs={"rise": "24 K ± 2 K"},
                found="24 K",
                verdict="borne out",
            ),
        ),
    ),
)
