"""Claim: a mark of conformity, which is explained and noted, not judged."""

from __future__ import annotations

from lidoff.evidence.claim_kind import ClaimKind, Example

_MARKS = {
    "CE": "its maker declares that it meets the European rules for such things; nobody else need have tested it",
    "UKCA": "its maker declares that it meets the rules of Great Britain; nobody else need have tested it",
    "FCC": "its maker declares, or a laboratory certifies, that it disturbs radio no more than is allowed in the USA",
    "UL": "a laboratory of that name has tested it; the file number printed beside it can be looked up",
    "GS": "a German test house has tested it; its name stands in the mark and its certificate can be looked up",
    "RoHS": "its maker declares that it holds little lead, mercury, cadmium and other named substances",
    "WEEE": "it belongs in a collection of old electrical things, not in the bin",
    "class II": "double or reinforced insulation: it needs no protective earth",
    "class III": "it is fed from extra-low voltage only",
}


def _explained(value: str) -> str:
    """What a mark says, and by whom."""
    said = next((words for mark, words in _MARKS.items() if mark.casefold() == value.strip().casefold()), "")
    if not said:
        known = ", ".join(_MARKS)
        return f"no meaning of the mark {value!r} is known here (known: {known})"
    return f"it says: {said}. A printed mark is no proof; whether it was earned cannot be measured here"


MEMBERS = (
    ClaimKind(
        name="safety_mark",
        title="mark of conformity",
        unit="",
        ways=(),
        sense="noted",
        says="what a mark says and who says it; noted, not judged",
        source="common practice, no source",
        explains=_explained,
        examples=(Example(says="CE", value="CE", verdict="noted, not judged"),),
    ),
)
