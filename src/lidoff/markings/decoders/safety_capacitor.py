"""Classes of capacitors for use on the mains: X1, X2, Y1, Y2 and both at once (X1Y2)."""

from __future__ import annotations

import re

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading

_CLASSES = re.compile(
    r"(?:(?P<x>X[123])[/ ]?)?(?P<y>Y[1234])?|(?P<y_first>Y[1234])[/ ]?(?P<x_after>X[123])", re.ASCII
)

# IEC 60384-14: the impulse voltages were read in a public note, the rest is from memory; the standard was not seen, so
# no verdict on insulation rests on these words alone. Above 1 µF the impulse of X1, X2 and Y2 falls with the root of C.
_MEANING = {
    "X1": "across the line where a failure gives no shock, impulse test 4 kV up to 1 µF",
    "X2": "across the line where a failure gives no shock, impulse test 2.5 kV up to 1 µF",
    "X3": "across the line where a failure gives no shock, impulses in service up to 1.2 kV (older editions)",
    "Y1": "bridges double or reinforced insulation, up to 500 V AC, impulse test 8 kV",
    "Y2": "bridges basic or supplementary insulation, 150 V to 300 V AC, impulse test 5 kV up to 1 µF",
    "Y3": "bridges basic or supplementary insulation, 150 V to 250 V AC, no impulse test (older editions)",
    "Y4": "bridges basic or supplementary insulation, below 150 V AC, impulse test 2.5 kV",
}


def classes_in(text: str) -> tuple[str, ...]:
    """Safety classes that a word names, such as ``("X1", "Y2")`` for ``"X1/Y2"``; empty where it names none."""
    match = _CLASSES.fullmatch(text.upper())
    if match is None:
        return ()
    found = (match["x"] or match["x_after"], match["y"] or match["y_first"])
    return tuple(name for name in found if name)


def class_fact(word: str) -> tuple[Fact, ...] | None:
    """Facts of the safety classes that a word names, or None where it names none."""
    names = classes_in(word)
    return tuple(Fact(name=f"safety class {name}", text=_MEANING[name]) for name in names) or None


def _read(text: str) -> tuple[Reading, ...]:
    facts = class_fact(text.upper().removeprefix("CLASS ").strip())
    if facts is None:
        return ()
    names = classes_in(text.upper().removeprefix("CLASS ").strip())
    return (
        Reading(
            what="safety class",
            says=" and ".join(names),
            how="class of a capacitor for electromagnetic interference suppression on the mains",
            plausibility=0.9,
            facts=facts,
            doubts=(
                "the class alone proves nothing, look for the approval marks and the maker's certificate",
            ),
        ),
    )


MEMBERS = (
    Decoder(
        name="safety_capacitor",
        title="class of a mains capacitor",
        about=("safety class",),
        source="IEC 60384-14 (standard not seen; impulse voltages read in a public note)",
        from_memory=True,
        example="X2",
        read=_read,
    ),
)
