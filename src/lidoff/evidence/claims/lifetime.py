"""Claim: how long the device lasts before it wears out."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

FAILED_AFTER = Role(name="failed_after", unit="s", title="running time after which this one failed")
RAN = Role(name="ran", unit="s", title="running time so far without failing")
PART_LIFE = Role(
    name="part_life", unit="s", title="life of the part that wears out first, at its temperature"
)

MEMBERS = (
    ClaimKind(
        name="lifetime",
        title="lifetime",
        unit="s",
        ways=(
            as_read(
                FAILED_AFTER, cautions="One specimen tells of itself; others may last longer or shorter."
            ),
            as_read(RAN, bound="lower"),
            as_read(
                PART_LIFE,
                estimate="takes it that the device ends with the part that wears out first, and nothing else ends it sooner",
                bound="upper",
            ),
        ),
        sense="at least",
        says="how long the device runs until it fails",
        source="timed until it failed, or so far; or by the life of what wears out first, as a bound",
        shown_in="h",
        unanswered="nobody times such a life on the bench",
        tells="the temperature of the part that wears out first, as a rule an electrolytic capacitor or the LEDs, in a device "
        "run until nothing gets hotter any more: the life promised at that temperature is the most that the device can last",
        examples=(
            Example(
                says="50 000 hours",
                value="50000 h",
                inputs={"failed_after": "310 h ± 1 h"},
                found="310.0 h",
                verdict="not borne out",
            ),
            Example(
                says="50 000 hours",
                value="50000 h",
                inputs={"ran": "400 h ± 1 h"},
                found="400.0 h",
                verdict="cannot tell",
            ),
            Example(
                says="50 000 hours",
                value="50000 h",
                inputs={"part_life": "17000 h ± 5000 h"},
                found="17000 h",  # 2000 h · 2^((105 − 74)/10) = 17 150 h, a factor of two for each 10 K
                verdict="not borne out",
            ),
        ),
    ),
)
