"""Whether distances between nets are long enough for the voltage between them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import figures
from lidoff.errors import ImpossibleValue, LidoffError
from lidoff.evidence import titled
from lidoff.hazards.check import Hazard, HazardCheck, at_least
from lidoff.hazards.joins import dangerous_nets, joined_to
from lidoff.hazards.limits import limit_table, straight_between
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Distance
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS", "impulse_voltage", "required_clearance", "required_creepage"]

INSTANTS = 401  # of a period, for its root mean square
USUAL = {
    # Protects more than a printed board's row, and is what standards of products have for any surface.
    "surface": ("other", "any surface, not the shorter distances for printed boards"),
    "pollution_degree": ("2", "pollution degree 2"),
    "material_group": (
        "IIIa",
        "material group IIIa, the usual for FR-4 and FR-2 (common practice, no source)",
    ),
    "overvoltage_category": ("II", "overvoltage category II, as for appliances on a plug"),
}
"""What is taken where the dossier is silent, with the words that say so."""


def required_creepage(
    voltage: float, *, surface: str, pollution_degree: str, material_group: str, insulation: str
) -> float:
    """Shortest way along a surface.

    Parameters
    ----------
    voltage : float
        Effective working voltage [V].
    surface, pollution_degree, material_group, insulation : str
        As for `Distance`.

    Returns
    -------
    float
        [m]; on straight lines between the table's rows, twice as much for reinforced insulation (both rules from memory).

    Raises
    ------
    ImpossibleValue
        The table has no such row, or ends below the voltage.

    References
    ----------
    .. [1] IEC 60664-1:2020, Table F.5.

    Examples
    --------
    >>> round(1e3 * required_creepage(
    ...     250.0, surface="other", pollution_degree="2", material_group="IIIa", insulation="basic"), 3)
    2.5
    """
    table = limit_table("creepage").entries
    rows = [
        row
        for row in table["rows"]
        if row["surface"] == surface
        and row["pollution_degree"] == pollution_degree
        and material_group in row["material_groups"]
    ]
    if not rows:
        raise ImpossibleValue(
            f"the table has no row for a {surface} in pollution degree {pollution_degree} with material group "
            f"{material_group}",
            remedy='take surface = "other"',
        )
    basic = straight_between(voltage, table["voltage"], rows[0]["creepage"], "voltage")
    return 1e-3 * basic * (2.0 if insulation == "reinforced" else 1.0)


def impulse_voltage(mains: float, category: str) -> float:
    """Rated impulse voltage of equipment on the mains, by the next row up [V].

    Parameters
    ----------
    mains : float
        Line to neutral [V].
    category : str
        Overvoltage category.

    Raises
    ------
    ImpossibleValue
        The mains voltage lies beyond the table.
    """
    table = limit_table("clearance").entries
    for most, impulse in zip(table["line_to_neutral"], table["impulse_of"][category], strict=True):
        if mains <= most:
            return float(impulse)
    raise ImpossibleValue(
        f"mains of {mains:g} V lie beyond the table, which ends at {table['line_to_neutral'][-1]:g}",
        remedy="take the standard itself",
    )


def required_clearance(
    impulse: float, *, pollution_degree: str, insulation: str, altitude: float = 0.0
) -> float:
    """Shortest way through air for an impulse voltage.

    Parameters
    ----------
    impulse : float
        Rated impulse voltage [V].
    pollution_degree, insulation : str
        As for `Distance`.
    altitude : float, optional
        Height above the sea [m]; up to 2000 m it changes nothing.

    Returns
    -------
    float
        [m]

    Raises
    ------
    ImpossibleValue
        The table ends below the impulse or the altitude.

    References
    ----------
    .. [1] IEC 60664-1:2020, Tables F.2 and A.2; IEC 62368-1:2018, Table 14.
    """
    table = limit_table("clearance").entries
    rows = table[insulation][pollution_degree]
    factor = straight_between(altitude, table["altitude"], table["altitude_factor"], "altitude")
    return 1e-3 * factor * straight_between(impulse, table["impulse"], rows, "impulse voltage")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Asked:
    """A distance with everything that decides what it must be."""

    distance: Distance
    words: dict[str, str]
    assumed: tuple[str, ...]

    @classmethod
    def of(cls, distance: Distance) -> _Asked:
        words, assumed = {}, []
        for key, (usual, says) in USUAL.items():
            told = getattr(distance, key)
            words[key] = told or usual
            if not told:
                assumed.append(says)
        return cls(distance=distance, words=words, assumed=tuple(assumed))


def _look(subject: Subject) -> tuple[Hazard, ...]:
    return tuple(
        hazard for distance in subject.distances for hazard in _answers(subject, _Asked.of(distance))
    )


def _answers(subject: Subject, asked: _Asked) -> Iterator[Hazard]:
    distance = asked.distance
    least = None
    if distance.mains:
        mains = distance.read("mains")
        if mains is not None:
            clearance = _clearance(asked, mains)
            least = clearance.limit
            if distance.clearance:
                yield clearance
    elif distance.clearance:
        yield replace(
            _answer(asked, "clearance"),
            what="The clearance follows from the impulses of the mains, and the distance tells no mains voltage.",
            remedy=f'add mains = "230 V" to [distances.{distance.name}] where mains feed it',
        )
    if distance.creepage:
        yield _creepage(subject, asked, least)


def _answer(asked: _Asked, what: str) -> Hazard:
    one, other = asked.distance.between
    return Hazard(
        check="insulation",
        title=f"{what} between {one} and {other}",
        outcome="cannot tell",
        # Reinforced insulation alone stands between a person and what kills.
        severity="fault" if asked.distance.insulation == "reinforced" else "caution",
        what="",
        value=asked.distance.read(what),
        limit_says=f"shortest {what} for {asked.distance.insulation} insulation",
        source=limit_table("creepage" if what == "creepage" else "clearance").words,
        assumed=(*asked.assumed, *(() if asked.distance.altitude else ("up to 2000 m above the sea",))),
        nets=asked.distance.between,
    )


def _clearance(asked: _Asked, mains: Quantity) -> Hazard:
    answer = _answer(asked, "clearance")
    degree, category = asked.words["pollution_degree"], asked.words["overvoltage_category"]
    altitude = asked.distance.read("altitude")
    try:
        impulse = impulse_voltage(mains.value, category)
        needed = required_clearance(
            impulse,
            pollution_degree=degree,
            insulation=asked.distance.insulation,
            altitude=altitude.value if altitude is not None else 0.0,
        )
    except ImpossibleValue as error:
        return replace(answer, what=f"The clearance cannot be told: {error.what}.", remedy=error.remedy)
    limit = Quantity(needed, "m")
    what = (
        f"Mains of {format_quantity(mains)} in overvoltage category {category} bring impulses of {impulse:g} V, which ask for "
        f"{_millimetres(limit)} through air in pollution degree {degree} ({asked.distance.insulation} insulation)"
        + (f" {asked.distance.altitude} above the sea" if altitude is not None else "")
    )
    return _held(answer, limit, what)


def _millimetres(length: Quantity) -> str:
    """Length as boards are measured."""
    return format_quantity(length, shown_in="mm")


def _held(answer: Hazard, limit: Quantity, what: str) -> Hazard:
    if answer.value is None:
        return replace(answer, limit=limit, what=f"{what}.")
    outcome = at_least(answer.value, limit)
    return replace(
        answer,
        title=f"{answer.title} is too short" if outcome == "beyond the limit" else answer.title,
        outcome=outcome,
        limit=limit,
        what=f"{what}; there are {_millimetres(answer.value)}.",
        remedy=""
        if outcome == "within the limit"
        else "measure it once more at its narrowest; if it stays, treat both sides "
        "as joined, and do not use the device",
    )


def _creepage(subject: Subject, asked: _Asked, least: Quantity | None) -> Hazard:
    answer = _answer(asked, "creepage")
    # A board that insulates from the mains is held to what products are held to, whatever its own row allows.
    board = asked.words["surface"] == "printed board" and bool(
        asked.distance.mains or dangerous_nets(subject.circuit)
    )
    surface = "other" if board else asked.words["surface"]
    try:
        voltage, told = _working_voltage(subject, asked.distance)
        needed = required_creepage(
            voltage.value + voltage.expanded,
            surface=surface,
            pollution_degree=asked.words["pollution_degree"],
            material_group=asked.words["material_group"],
            insulation=asked.distance.insulation,
        )
    except LidoffError as error:
        return replace(
            answer,
            what=f"The creepage cannot be told: {error.what}.",
            remedy=error.remedy or f'add working_voltage = "…" to [distances.{asked.distance.name}]',
        )
    words = asked.words
    what = (
        f"A working voltage of {format_quantity(voltage)} ({told}) asks for {_millimetres(Quantity(needed, 'm'))} "
        f"along {'any surface' if surface == 'other' else 'the surface of a printed board'} (pollution degree "
        f"{words['pollution_degree']}, material group {words['material_group']}, {asked.distance.insulation} insulation)"
    )
    if board:
        what += (
            ", as IEC 62368-1:2018, Table 17, has it; the shorter distances of IEC 60664-1 for printed boards are not taken "
            "where the mains feed the circuit"
        )
    limit = Quantity(needed, "m")
    if least is not None and least.value > needed:
        limit = least
        what += f", and no less than the clearance of {_millimetres(least)}"
    rules = "straight lines between rows, twice the basic value for reinforced, never less than the clearance: from memory"
    return _held(replace(answer, assumed=(*answer.assumed, rules)), limit, what)


def _working_voltage(subject: Subject, distance: Distance) -> tuple[Quantity, str]:
    """Effective voltage between the nets: as told, else the highest of all situations, and never below the mains."""
    told = distance.read("working_voltage")
    if told is not None:
        return told, "as told"
    one, other = distance.between
    mains = distance.read("mains")
    apart = other not in joined_to(subject.circuit, (one,))
    found: list[tuple[Quantity, str]] = []
    if mains is not None:
        found.append((mains, "the mains, as nothing known joins the two sides" if apart else "the mains"))
    for net, far in _against_poles(subject, one, other, apart=apart):
        try:
            against = _solved(subject, distance, net, far, f"{net} against {far}, ")
        except LidoffError:
            continue  # the mains themselves remain
        # A thousandth above the mains is no more than the steps of the waveform.
        found += [pair for pair in against if mains is None or pair[0].value > 1.001 * mains.value]
    if not (apart and found):
        found += _solved(subject, distance, one, other, "")
    if not found:
        raise ImpossibleValue(
            "no situation tells the voltage between the nets",
            remedy=f'add working_voltage = "…" to [distances.{distance.name}]',
        )
    return max(found, key=lambda pair: pair[0].value)


def _against_poles(subject: Subject, one: str, other: str, *, apart: bool) -> Iterator[tuple[str, str]]:
    """Nets of the mains' side with each pole, one of which is earth, where the other net floats or a hand may earth it."""
    poles = dangerous_nets(subject.circuit)
    live = joined_to(subject.circuit, poles)
    for net, far in ((one, other), (other, one)):
        if net in live and ((apart and far not in live) or far in subject.accessible):
            yield from ((net, pole) for pole in poles if pole != net)


def _solved(
    subject: Subject, distance: Distance, one: str, other: str, words: str
) -> list[tuple[Quantity, str]]:
    """Effective voltage between two nets in every situation, with the words that say so."""
    found: list[tuple[Quantity, str]] = []
    for name, value in subject.at_rest(lambda solution: solution.between(one, other), "V").items():
        if not subject.alternates(subject.situations[name]):
            found.append((Quantity(abs(value.value), "V", value.uncertainty), f"{words}solved, {name}"))
    for repeating in subject.repeating:
        if repeating.waveforms is None:
            raise ImpossibleValue(
                f"no waveform was found for {titled(repeating.situation.name)}: {repeating.why}",
                remedy=f'add working_voltage = "…" to [distances.{distance.name}]',
            )
        waves = repeating.waveforms
        # Straight lines between the coarse steps would lose half a percent of a sine.
        instants = np.linspace(waves.times[0], waves.times[-1], INSTANTS)
        rms = figures(instants, waves.voltage_at(one, instants) - waves.voltage_at(other, instants)).rms
        found.append(
            (Quantity(rms, "V"), f"{words}root mean square, solved, {titled(repeating.situation.name)}")
        )
    return found


MEMBERS = (
    HazardCheck(
        name="insulation",
        title="Insulation distances",
        look=_look,
        says="Whether the measured creepage and clearance between two nets are long enough for their voltage.",
        source="IEC 60664-1:2020, Tables F.1, F.2 and F.5; IEC 62368-1:2018, Table 14",
        cautions=("mains",),
        not_checked=(
            "distances that the dossier does not tell",
            "insulation through solid material",
            "recurring peaks above the effective voltage, and frequencies above 30 kHz",
        ),
    ),
)
