"""Subjects for the tests of this room."""

from collections.abc import Sequence

from lidoff.circuit import Circuit, Part, Situation, operating_point, predict_spread
from lidoff.evidence import prose_with_titles
from lidoff.hazards import Hazard, Subject, all_hazard_checks


def part(reference: str, kind: str, pins: dict[str, str], **values: float | str) -> Part:
    return Part(reference=reference, kind=kind, pins=pins, values=values)


def subject(*parts: Part, situations: Sequence[Situation] = ()) -> Subject:
    circuit = Circuit(parts=parts)
    chosen = tuple(situations) or (Situation(name="on"),)
    solution = operating_point(circuit, situations=chosen)
    assert solution.settled.all()
    return Subject(
        circuit=circuit,
        situations={one.name: one for one in chosen},
        place={one.name: number for number, one in enumerate(chosen)},
        spreading=predict_spread(circuit, chosen),
    )


def answers(check: str, looked_at: Subject) -> tuple[Hazard, ...]:
    titles = {name: one.title for name, one in looked_at.situations.items()}
    return tuple(prose_with_titles(one, titles) for one in all_hazard_checks()[check].look(looked_at))
