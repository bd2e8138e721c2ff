"""Claim: "so many times brighter" or the like, which says nothing until it says than what."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way

MEMBERS = (
    ClaimKind(
        name="times_more",
        title="comparison",
        unit="1",
        ways=(
            Way(
                inputs=(
                    Role(name="value", unit="", title="quantity of this device"),
                    Role(name="compared_with", unit="", title="same quantity of what it is compared with"),
                ),
                combine=lambda value, compared_with: value / compared_with,
                written="{value} ÷ {compared_with}",
            ),
        ),
        sense="at least",
        says="how many times as much as something else",
        source="ratio of two readings of the same quantity",
        cautions=(
            '"Times brighter" can be tested only once it is told than what, and of what quantity: flux, intensity on the '
            "axis, or what the eye sees. The eye does not add up: eight times the light looks about twice as bright "
            "(Stevens' power law with an exponent of a third, from memory)."
        ),
        unanswered="it does not say than what, nor which quantity is meant",
        examples=(
            Example(
                says="10 times brighter",
                value="10",
                inputs={"value": "320 lx ± 20 lx", "compared_with": "130 lx ± 10 lx"},
                found="2.46",  # 320 / 130 = 2.46
                verdict="not borne out",
            ),
            Example(
                says="10 times brighter",
                value="10",
                verdict="cannot tell",
            ),
        ),
    ),
)
