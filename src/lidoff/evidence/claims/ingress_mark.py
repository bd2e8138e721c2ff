"""Claim: an IP code, which is explained and noted, not judged."""

from __future__ import annotations

import re

from lidoff.evidence.claim_kind import ClaimKind, Example

_CODE = re.compile(r"IP\s?([0-6X])([0-9X])([A-DHMSW]*)", re.IGNORECASE)
_SOLIDS = {
    "X": "solid things not tested",
    "0": "no protection against solid things",
    "1": "solid things of 50 mm and more kept out",
    "2": "fingers and solid things of 12.5 mm and more kept out",
    "3": "tools and wires of 2.5 mm and more kept out",
    "4": "wires of 1 mm and more kept out",
    "5": "dust may enter, but not enough to harm",
    "6": "dust kept out",
}
_WATER = {
    "X": "water not tested",
    "0": "no protection against water",
    "1": "drops from straight above do no harm",
    "2": "drops from above do no harm when it is tilted by up to 15°",
    "3": "spray at up to 60° from straight above does no harm",
    "4": "splashes from any side do no harm",
    "5": "water jets do no harm",
    "6": "strong water jets do no harm",
    "7": "a short time under water does no harm",
    "8": "a long time under water does no harm, at a depth and time that the maker tells",
    "9": "hot jets of high pressure from near do no harm",
}


def _explained(value: str) -> str:
    """What an IP code promises."""
    found = _CODE.fullmatch(value.strip())
    if found is None:
        return f"{value!r} is no IP code; codes are written like IP54 or IPX4"
    solids, water = _SOLIDS[found[1].upper()], _WATER[found[2].upper()]
    return (
        f"it promises: {solids}; {water}. The code comes from a test in a test house (IEC 60529, from memory), which "
        "spoils the device; a look at seals, seams and holes can speak against it, not for it"
    )


MEMBERS = (
    ClaimKind(
        name="ingress_mark",
        title="protection against dust and water",
        unit="",
        ways=(),
        sense="noted",
        says="what an IP code promises; noted, not judged",
        source="IEC 60529:2013, Tables 1 to 3 (from memory)",
        explains=_explained,
        examples=(Example(says="IPX4 splash proof", value="IPX4", verdict="noted, not judged"),),
    ),
)
