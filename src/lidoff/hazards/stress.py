"""Every part's load beside its ratings, in every situation: at rest, and over a period where a supply alternates."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial

from lidoff.circuit import Part, Rating, Solution, Waveforms, figures, kind_of, settings_of, with_article
from lidoff.circuit.kind import Array
from lidoff.hazards.bodies import has_mains_class, rating_of_body
from lidoff.hazards.limits import limit_table
from lidoff.hazards.subject import Repeating, Subject
from lidoff.quantities import Quantity

__all__ = ["Stress", "Unfixed", "stresses_of", "unfixed_of", "usual_share"]


ALTERNATES = 0.5
"""Share of one crest that the other has at least where contacts are taken to break an alternating voltage, for which their
print tells the effective value; common practice, no source."""

SHORT_OVERLOAD = 2.0
"""Times its highest voltage that a resistor stands for seconds: short-time overload of IEC 60115-1, from memory. A crest beyond
counts by this share, however low the effective value is."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stress:
    """One part's load beside one of its ratings.

    Attributes
    ----------
    reference : str
        The part.
    situation : str
        Where the load is highest.
    rating : str
        Parameter that holds the limit, such as ``power_rating``.
    load, limit : Quantity
        In the same unit; the load as a size, without sign.
    told : bool
        Whether the dossier tells the limit; else `basis` says where it comes from.
    basis : str
        Where a limit that is not told comes from; empty for a told one.
    seen : str
        How the load was seen, such as ``at rest`` or ``highest within a period``.
    usual : float
        Share of the limit up to which designers usually go.
    contact : tuple of str
        The two pins of the contact that bears the load, where the part has several; else empty.
    """

    reference: str
    situation: str
    rating: str
    load: Quantity
    limit: Quantity
    told: bool
    basis: str = ""
    seen: str = "at rest"
    usual: float = 1.0
    contact: tuple[str, ...] = ()

    @property
    def share(self) -> float:
        """Load over limit; infinite where the limit is zero."""
        return self.load.value / self.limit.value if self.limit.value else float("inf")

    @property
    def usual_limit(self) -> Quantity:
        """Limit after the usual derating."""
        return Quantity(self.usual * self.limit.value, self.limit.unit)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unfixed:
    """A voltage on a part that is not known, and may be over one of its ratings.

    Attributes
    ----------
    reference : str
        The part.
    situation : str
    rating : str
        Parameter that holds the limit.
    limit, most : Quantity
        The limit, and how high the voltage may be.
    told : bool
        Whether the dossier tells the limit.
    nets : tuple of str
        Nets that nothing fixes.
    """

    reference: str
    situation: str
    rating: str
    limit: Quantity
    most: Quantity
    told: bool
    nets: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Limit:
    """One limit of one part, and how loads on it are counted."""

    part: Part
    rating: Rating
    values: dict[str, float]  # by situation
    told: bool
    basis: str
    ask: Callable[[Solution | Waveforms], Array] | None
    usual: float
    contact: tuple[str, ...] = ()


def stresses_of(subject: Subject) -> tuple[Stress, ...]:
    """Highest load of each part on each rating.

    Parameters
    ----------
    subject : Subject

    Returns
    -------
    tuple of Stress
        The nearest to its limit first. Ratings that neither an operating point nor a waveform can show are left out.
    """
    if subject.spreading is None:
        return ()
    found: list[Stress] = []
    for limits in _limits(subject):
        loads = [
            load for limit in limits for load in (*_at_rest(subject, limit), *_over_time(subject, limit))
        ]
        if loads:
            found.append(max(loads, key=lambda stress: stress.share))
    return tuple(sorted(found, key=lambda stress: (-stress.share, stress.reference, stress.rating)))


def unfixed_of(subject: Subject) -> tuple[Unfixed, ...]:
    """Voltages at rest that hang on nets which nothing fixes, and that may be over their rating.

    Parameters
    ----------
    subject : Subject

    Returns
    -------
    tuple of Unfixed
        In the order of parts, one for each rating, in the situation where it may be highest.
    """
    found = []
    for limits in _limits(subject):
        those = [one for limit in limits for one in _unfixed(subject, limit)]
        if those:
            found.append(max(those, key=lambda one: one.most.value))
    return tuple(found)


def _unfixed(subject: Subject, limit: _Limit) -> Iterator[Unfixed]:
    if limit.ask is None or not _holds_at_rest(limit.rating) or limit.rating.unit != "V":
        return
    for name, loose in subject.unfixed(limit.ask).items():
        if name not in limit.values or subject.alternates(subject.situations[name]):
            continue
        one = Unfixed(
            reference=limit.part.reference,
            situation=name,
            rating=limit.rating.name,
            limit=Quantity(limit.values[name], "V"),
            most=Quantity(loose.highest, "V") if limit.rating.of == "reverse voltage" else loose.most,
            told=limit.told,
            nets=loose.nets,
        )
        if one.most.value > one.limit.value:
            yield one


def usual_share(kind: str, unit: str) -> float:
    """Share of a rating up to which designers usually load parts of a kind.

    Parameters
    ----------
    kind : str
        Of part.
    unit : str
        Of the rating.

    Returns
    -------
    float
        One where no share is usual.

    Examples
    --------
    >>> usual_share("resistor", "W")
    0.6
    """
    table = limit_table("derating").entries
    key = {"V": "voltage", "A": "current", "W": "power"}.get(unit)
    if key is None:
        return 1.0
    row: Mapping[str, float] = next((row for row in table["rows"] if kind in row["kinds"]), {})
    return float(row.get(key, table["usual"][key]))


def _limits(subject: Subject) -> Iterator[tuple[_Limit, ...]]:
    """Limits of which each is told with its highest load alone: one, or the same for every contact of a part."""
    for part in subject.circuit.parts:
        for rating in kind_of(part).ratings:
            for limit in _limit(subject, part, rating):
                yield _each_contact(limit)


def _each_contact(limit: _Limit) -> tuple[_Limit, ...]:
    if limit.rating.of not in _OF_CONTACT:
        return (limit,)
    contacts = kind_of(limit.part).contacts(limit.part)
    ask = _OF_CONTACT[limit.rating.of]
    return tuple(
        replace(
            limit,
            ask=partial(ask, limit.part, contact),
            contact=contact if len(contacts) > 1 or "common" in contact else (),
        )
        for contact in contacts
    )


def _contact_current(part: Part, contact: tuple[str, str], solved: Solution | Waveforms) -> Array:
    return solved.pin_current(part.reference, contact[1])


def _contact_voltage(part: Part, contact: tuple[str, str], solved: Solution | Waveforms) -> Array:
    return solved.voltage(part.pins[contact[0]]) - solved.voltage(part.pins[contact[1]])


_OF_CONTACT = {"contact current": _contact_current, "contact voltage": _contact_voltage}


def _limit(subject: Subject, part: Part, rating: Rating) -> Iterator[_Limit]:
    values = {}
    for name, situation in subject.situations.items():
        settings = settings_of(part, situation.settings.get(part.reference))
        if rating.name in settings:
            values[name] = settings[rating.name]
    told = rating.name in part.values
    basis = "" if told else f"typical for {with_article(kind_of(part).title)} as the dossier tells none"
    body = None if told else rating_of_body(part, rating.name)
    if body is not None:
        values, basis = dict.fromkeys(values, body.value), f"{body.why}, as the dossier tells none"
    plain = _Limit(
        part=part,
        rating=rating,
        values=values,
        told=told,
        basis=basis,
        ask=_asked(part, rating),
        usual=usual_share(part.kind, rating.unit),
    )
    if rating.name == "voltage_rating" and any(
        one.name == "alternating_rating" for one in kind_of(part).ratings
    ):
        yield from _on_alternating(plain)
    elif values:
        yield plain


def _on_alternating(plain: _Limit) -> Iterator[_Limit]:
    """Limits of a capacitor whose alternating voltage is limited apart from its steady one."""
    alternating = replace(plain.rating, over_time="effective")
    if "alternating_rating" in plain.part.values:
        # a printed class holds for what alternates; its steady limit is higher, and not told
        if plain.told:
            yield plain
        return
    if has_mains_class(plain.part):
        yield replace(plain, rating=alternating, usual=1.0)
        return
    yield plain
    if plain.part.kind == "film_capacitor":
        share = limit_table("derating").entries["film_on_alternating"]["share"]
        yield replace(
            plain,
            rating=alternating,
            values={name: share * value for name, value in plain.values.items()},
            told=False,
            basis=f"{100 * share:.0f} % of its steady rating, as no class for alternating voltage is printed on it "
            "(common practice, no source)",
            usual=1.0,
        )


def _holds_at_rest(rating: Rating) -> bool:
    """Whether a steady load can come near it: it has no ripple, and no alternating voltage."""
    return rating.of != "ripple current" and not (rating.over_time == "effective" and rating.unit == "V")


def _at_rest(subject: Subject, limit: _Limit) -> Iterator[Stress]:
    if limit.ask is None or not _holds_at_rest(limit.rating):
        return
    steady = {name for name in limit.values if not subject.alternates(subject.situations[name])}
    if not steady:
        return
    for name, load in subject.at_rest(limit.ask, limit.rating.unit).items():
        if name in steady:
            size = max(load.value, 0.0) if limit.rating.of == "reverse voltage" else abs(load.value)
            yield _stress(limit, name, Quantity(size, load.unit, load.uncertainty), "at rest")


def _over_time(subject: Subject, limit: _Limit) -> Iterator[Stress]:
    if limit.ask is None:
        return
    for repeating in subject.repeating:
        name = repeating.situation.name
        if repeating.waveforms is None or name not in limit.values:
            continue
        size, seen = _counted(limit.rating, repeating, limit.ask)
        spread = subject.supply_spread(repeating.situation) * (2.0 if limit.rating.unit == "W" else 1.0)
        yield _stress(limit, name, Quantity(size, limit.rating.unit, size * spread), seen)


def _counted(rating: Rating, repeating: Repeating, wave: Callable[[Waveforms], Array]) -> tuple[float, str]:
    """What of a waveform counts against a rating, with its name."""
    waves = repeating.waveforms
    assert waves is not None
    values = wave(waves)
    told = figures(waves.times, values)
    effective = "effective over a period"
    if rating.of == "ripple current":
        return told.alternating, effective
    crest = max(told.highest, -told.lowest)
    if rating.over_time == "steady or effective":
        rare = SHORT_OVERLOAD * told.rms < crest
        return (
            (crest / SHORT_OVERLOAD, "half of the highest within a period") if rare else (told.rms, effective)
        )
    if rating.over_time == "effective" or (
        rating.unit == "A" and not rating.over_time and "peak" not in rating.of
    ):
        return told.rms, effective
    if rating.over_time == "mean" or rating.unit == "W":
        return abs(told.average), "mean over a period"
    if rating.of == "contact voltage" and min(told.highest, -told.lowest) > ALTERNATES * crest:
        return told.rms, effective
    if rating.of == "reverse voltage":
        return max(told.highest, 0.0), "highest within a period"
    return crest, "highest within a period"


def _stress(limit: _Limit, situation: str, load: Quantity, seen: str) -> Stress:
    return Stress(
        reference=limit.part.reference,
        situation=situation,
        rating=limit.rating.name,
        load=load,
        limit=Quantity(limit.values[situation], limit.rating.unit),
        told=limit.told,
        basis=limit.basis,
        seen=seen,
        usual=limit.usual,
        contact=limit.contact,
    )


def _asked(part: Part, rating: Rating) -> Callable[[Solution | Waveforms], Array] | None:
    """What a rating limits, as a number of every sample or instant; None where the part's pins in use do not show it."""
    reference = part.reference
    path = kind_of(part).path
    has_path = len(path) == 2 and all(pin in part.pins for pin in path)
    if rating.of == "power":
        return lambda solved: solved.power(reference)
    if rating.of in ("current", "ripple current", "peak current") and has_path:
        return lambda solved: solved.current(reference)
    if rating.of == "voltage" and has_path:
        return lambda solved: solved.part_voltage(reference)
    if rating.of == "reverse voltage" and has_path:
        return lambda solved: -solved.part_voltage(reference)
    first, dash, second = rating.of.partition("-")
    if dash and first in part.pins and second in part.pins:
        one, other = part.pins[first], part.pins[second]
        return lambda solved: solved.voltage(one) - solved.voltage(other)
    return None
