"""What the circuit would do: a changed one beside the real one, and voltages and currents over time. Nothing is saved."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import Field, StringConstraints

from lidoff.bench.models import Amount, Closed, Name
from lidoff.bench.trouble import Trouble, trouble_of
from lidoff.errors import ImpossibleValue, LidoffError, UnknownName

if TYPE_CHECKING:
    from lidoff.bench.quick import Quick
    from lidoff.circuit import Circuit, OperatingPoint, Part
    from lidoff.dossier import Dossier
    from lidoff.evidence import ClaimResult
    from lidoff.quantities import Quantity

__all__ = [
    "WaveformAnswer",
    "WaveformAsked",
    "WhatIfAnswer",
    "WhatIfAsked",
    "WhatIfClaims",
    "waveforms",
    "what_if",
    "what_if_claims",
]

SHORT = 1e-3
"""Resistance of a short [Ω]; as for single faults."""
MOST_POINTS = 4000
"""Instants that an answer tells: more than a screen has columns."""
LONGEST = 60.0
"""Longest stretch of time that is followed [s]."""
_MOST_NAMES = 24

Text = Annotated[str, StringConstraints(max_length=120)]


class Change(Closed):
    """One change of a what-if: values set, a part shorted, cut open or taken out."""

    part: Name
    do: Literal["set", "short", "open", "remove"]
    values: dict[Name, Text] = Field(default_factory=dict)


class WhatIfAsked(Closed):
    """Changes to try, and the situation to try them in; all of them if none is named."""

    changes: Annotated[list[Change], Field(min_length=1, max_length=50)]
    situation: Name = ""


class Pair(Closed):
    """One quantity in the real circuit and in the changed one; null where nothing fixes it or it is not there."""

    real: Amount | None
    changed: Amount | None


class WhatIfSituation(Closed):
    """One situation of the two circuits."""

    nets: dict[str, Pair] = Field(default_factory=dict)
    parts: dict[str, dict[str, Pair]] = Field(default_factory=dict)
    problem: Trouble | None = None


class WhatIfAnswer(Closed):
    """What would change, and of which revision the real circuit is."""

    revision: int
    situations: dict[str, WhatIfSituation]


class ClaimSide(Closed):
    """What a claim comes to: in words, with the number found and the sum."""

    verdict: str
    shown: str
    sum: str


class WhatIfClaim(Closed):
    """One claim beside what it would come to; `moved` tells whether the change reaches it."""

    name: str
    says: str
    real: ClaimSide
    changed: ClaimSide
    moved: bool


class WhatIfReading(Closed):
    """One reading that the change moves: as read, and as it would be; null where the changed circuit does not tell."""

    name: str
    real: Amount
    changed: Amount | None


class WhatIfClaims(Closed):
    """Claims beside what they would come to, of which revision the real circuit is, and what that rests on."""

    revision: int
    claims: list[WhatIfClaim]
    readings: list[WhatIfReading]
    rests_on: str


class WaveformAsked(Closed):
    """What to follow over time, in which situation, and for how long."""

    situation: Name = ""
    duration: Text
    nets: list[Name] = Field(default=[], max_length=_MOST_NAMES)
    currents: list[Name] = Field(default=[], max_length=_MOST_NAMES)


class WaveformAnswer(Closed):
    """Instants [s], with voltages [V] and currents [A] at them."""

    times: list[float] = Field(default_factory=list)
    nets: dict[str, list[float]] = Field(default_factory=dict)
    currents: dict[str, list[float]] = Field(default_factory=dict)
    problem: Trouble | None = None


def what_if(quick: Quick, asked: WhatIfAsked) -> WhatIfAnswer:
    """Real and changed circuit side by side.

    Parameters
    ----------
    quick : Quick
        The real one, solved.
    asked : WhatIfAsked
        What to change.

    Returns
    -------
    WhatIfAnswer
        Nominal values, without their spread.

    Raises
    ------
    DossierError, UnknownName, ImpossibleValue
        There is no circuit, or a change names what is not there or cannot be.
    """
    from lidoff.circuit import operating_point
    from lidoff.dossier import situations_of

    circuit, dossier = _circuit(quick)
    situations = {one.name: one for one in situations_of(dossier)}
    chosen = [_named(asked.situation, situations)] if asked.situation else list(situations)
    changed = _changed(circuit, dossier, asked.changes)
    known = {part.reference for part in changed.parts}
    found: dict[str, WhatIfSituation] = {}
    for name in chosen:
        one = situations[name]
        settings = {reference: value for reference, value in one.settings.items() if reference in known}
        try:
            real = quick.points.get(name)
            if real is None:
                raise quick.unsolved[name]
            solution = operating_point(changed, situations=[replace(one, settings=settings)])
            found[name] = _side_by_side(circuit, real, changed, solution.at(0))
        except LidoffError as error:
            found[name] = WhatIfSituation(problem=trouble_of(error))
    return WhatIfAnswer(revision=quick.revision, situations=found)


RESTS_ON = (
    "Each reading of the circuit is moved by as much as the change moves its prediction, and keeps its uncertainty. "
    "What was tried, and what was read beside the circuit, stays as it is."
)


def what_if_claims(
    texts: Mapping[str, str], folder: Path, changes: Sequence[Mapping[str, object]]
) -> dict[str, object] | LidoffError:
    """Claims beside what they would come to; the error that stands in the way. Runs beside the server.

    Parameters
    ----------
    texts : mapping of str to str
        State of the dossier.
    folder : Path
        Of the dossier, for its logs.
    changes : sequence of mapping
        Fields of each `Change`.

    Returns
    -------
    dict or LidoffError
        Fields of `WhatIfClaims`, without the revision.
    """
    from lidoff.bench.analyst import analysis_of
    from lidoff.dossier.supposing import supposed_claims

    try:
        analysis = analysis_of(texts, folder)
        asked = [Change.model_validate(dict(one)) for one in changes]
        found = supposed_claims(analysis, _changed(analysis.circuit, analysis.dossier, asked))
    except LidoffError as error:
        return error
    return {
        "claims": [
            {
                "name": real.claim.name,
                "says": real.claim.says,
                "real": _side(real),
                "changed": _side(changed),
                "moved": _side(real) != _side(changed),
            }
            for real, changed in zip(analysis.claims, found.claims, strict=True)
        ],
        "readings": [
            {"name": name, "real": _amount(real), "changed": None if changed is None else _amount(changed)}
            for name, (real, changed) in found.readings.items()
        ],
        "rests_on": RESTS_ON,
    }


def _side(result: ClaimResult) -> dict[str, object]:
    return {"verdict": result.verdict.words, "shown": result.shown, "sum": result.sum}


def _amount(quantity: Quantity) -> dict[str, object]:
    return {"value": quantity.value, "unit": quantity.unit, "uncertainty": quantity.expanded}


def waveforms(quick: Quick, asked: WaveformAsked) -> WaveformAnswer:
    """Voltages and currents over time.

    Parameters
    ----------
    quick : Quick
        With a circuit.
    asked : WaveformAsked
        What to follow.

    Returns
    -------
    WaveformAnswer
        Thinned so that every extreme of each line stays.

    Raises
    ------
    DossierError, UnknownName, ImpossibleValue
        There is no circuit, or what is asked is not there or cannot be.
    """
    from lidoff.circuit import waveform
    from lidoff.dossier import situations_of
    from lidoff.quantities import parse_quantity

    circuit, dossier = _circuit(quick)
    situations = {one.name: one for one in situations_of(dossier)}
    situation = situations[_named(asked.situation, situations)] if asked.situation else None
    until = parse_quantity(asked.duration, unit="s").value
    if not 0.0 < until <= LONGEST:
        raise ImpossibleValue(
            f"a waveform of {until:g} s", remedy=f"give a time above zero and up to {LONGEST:g} s"
        )
    for net in asked.nets:
        if net not in circuit.nets:
            raise UnknownName(f"there is no net {net!r}", name=net, known=circuit.nets)
    for reference in asked.currents:
        circuit.part(reference)
    try:
        found = waveform(circuit, until, situation=situation)
        lines = {("net", net): found.voltage(net).tolist() for net in asked.nets}
        lines |= {("part", part): found.current(part).tolist() for part in asked.currents}
        times = found.times.tolist()
    except LidoffError as error:
        return WaveformAnswer(problem=trouble_of(error))
    kept = _kept(len(times), list(lines.values()))
    thin: Callable[[list[float]], list[float]] = lambda values: [values[at] for at in kept]  # noqa: E731
    return WaveformAnswer(
        times=thin(times),
        nets={name: thin(values) for (sort, name), values in lines.items() if sort == "net"},
        currents={name: thin(values) for (sort, name), values in lines.items() if sort == "part"},
    )


def _kept(count: int, lines: Sequence[Sequence[float]]) -> list[int]:
    """Instants to keep: of each stretch the ends, and where a line is highest and lowest."""
    if count <= MOST_POINTS:
        return list(range(count))
    stretches = max(1, MOST_POINTS // (2 + 2 * max(1, len(lines))))
    kept = {0, count - 1}
    for number in range(stretches):
        inside = range(count * number // stretches, count * (number + 1) // stretches)
        kept.add(inside[0])
        for line in lines:
            kept.add(max(inside, key=line.__getitem__))
            kept.add(min(inside, key=line.__getitem__))
    return sorted(kept)


def _circuit(quick: Quick) -> tuple[Circuit, Dossier]:
    from lidoff.errors import DossierError

    if quick.circuit is None or quick.dossier is None or not quick.circuit.parts:
        raise quick.problem or DossierError("the dossier has no parts yet", remedy="add a part and its pins")
    return quick.circuit, quick.dossier


def _named(name: str, known: Mapping[str, object]) -> str:
    if name not in known:
        raise UnknownName(f"there is no situation {name!r}", name=name, known=known)
    return name


def _changed(circuit: Circuit, dossier: Dossier, changes: Sequence[Change]) -> Circuit:
    parts = {part.reference: part for part in circuit.parts}
    for change in changes:
        if change.part not in parts:
            raise UnknownName(f"there is no part {change.part!r}", name=change.part, known=parts)
        if change.do == "set":
            parts[change.part] = _with_values(parts[change.part], dossier, change)
        elif change.do == "short":
            short = _short(parts[change.part])
            parts[short.reference] = short
        else:
            del parts[change.part]  # a part that is open carries nothing, as one that is not there
    return replace(circuit, parts=tuple(parts.values()))


def _with_values(part: Part, dossier: Dossier, change: Change) -> Part:
    from lidoff.circuit import kind_of, with_article
    from lidoff.dossier import part_of

    entry = next(one for one in dossier.parts if one.reference == change.part)
    main = kind_of(part).main_value
    texts = {main if name == "value" else name: text for name, text in change.values.items()}
    if "" in texts:
        raise ImpossibleValue(
            f"{with_article(kind_of(part).title)} has no single value",
            remedy="name which of its values is meant",
        )
    return replace(part, values=part_of(replace(entry, values={**entry.values, **texts})).values)


def _short(part: Part) -> Part:
    from lidoff.circuit import Part, kind_of

    path = kind_of(part).path
    if len(path) != 2 or any(pin not in part.pins for pin in path):
        raise ImpossibleValue(
            f"{part.reference} has no single current path to short", remedy="set, open or remove it instead"
        )
    pins = dict(zip(("1", "2"), (part.pins[pin] for pin in path), strict=True))
    return Part(
        reference=f"short of {part.reference}", kind="resistor", pins=pins, values={"resistance": SHORT}
    )


def _side_by_side(
    real: Circuit, point: OperatingPoint, changed: Circuit, other: OperatingPoint
) -> WhatIfSituation:
    nets = {
        net: Pair(real=_voltage(real, point, net), changed=_voltage(changed, other, net)) for net in real.nets
    }
    here = {part.reference: part for part in changed.parts}
    parts = {}
    for part in real.parts:
        told, then = _state(part, point), _state(here.get(part.reference), other)
        if told or then:
            parts[part.reference] = {
                name: Pair(real=told.get(name), changed=then.get(name)) for name in {**told, **then}
            }
    return WhatIfSituation(nets=nets, parts=parts)


def _voltage(circuit: Circuit, point: OperatingPoint, net: str) -> Amount | None:
    if net not in circuit.nets or net in point.undetermined:
        return None
    return Amount(value=float(point.voltage(net)) + 0.0, unit="V", uncertainty=None)


def _state(part: Part | None, point: OperatingPoint) -> dict[str, Amount]:
    from lidoff.circuit import kind_of

    if part is None:
        return {}
    told: dict[str, Amount] = {}
    path = kind_of(part).path
    if path and all(pin in part.pins for pin in path):
        told["current"] = Amount(value=float(point.current(part.reference)) + 0.0, unit="A", uncertainty=None)
    told["power"] = Amount(value=float(point.power(part.reference)) + 0.0, unit="W", uncertainty=None)
    return told
