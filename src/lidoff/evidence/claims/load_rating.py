"""Claim: the load that a device is said to carry, such as a switch, a dimmer or an extension lead."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example, Role
from lidoff.evidence.claim_roles import as_read

CARRIED = Role(name="carried", unit="", title="load that it carried without harm", unsigned=True)
ALLOWED = Role(name="allowed", unit="", title="load that its weakest part allows", unsigned=True)

MEMBERS = (
    ClaimKind(
        name="load_rating",
        title="load that it carries",
        unit="",
        ways=(
            as_read(CARRIED, bound="lower"),
            as_read(
                ALLOWED,
                estimate="what the weakest part on the load's way is rated for, which the whole cannot exceed",
                bound="upper",
            ),
        ),
        sense="at least",
        says="how much load the device may be given",
        source="a load carried bears out every lower rating; the part with the lowest rating refutes every higher one",
        cautions="Holds for the kind of load and the time that were tried: motors, lamps and supplies take more at first. "
        "How hot it got, a claim or a check of temperature tells.",
        tells="a trial at the full load until nothing gets hotter any more, with the temperatures of its parts, or the "
        "rating of the weakest part on the load's way",
        examples=(
            Example(
                says="300 W max",
                value="300 W",
                inputs={"carried": "100 W ± 1 W"},
                found="100.0 W",
                verdict="cannot tell",
            ),
            Example(
                says="300 W max",
                value="300 W",
                inputs={"carried": "312 W ± 3 W"},
                found="312 W",
                verdict="borne out",
            ),
            Example(
                says="10 A 250 V~",
                value="10 A",
                inputs={"allowed": "6 A"},
                found="6 A",
                verdict="not borne out",
            ),
        ),
    ),
)
