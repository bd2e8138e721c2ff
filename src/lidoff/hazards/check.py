"""What a hazard check must tell about itself, and what it answers; checks are an open family in ``checks``."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal

from lidoff.catalogue import catalogue
from lidoff.evidence import SEVERITIES, Finding, Severity, prose_with_titles
from lidoff.hazards.subject import Subject
from lidoff.quantities import Quantity, format_quantity

__all__ = [
    "OUTCOMES",
    "Hazard",
    "HazardCheck",
    "Outcome",
    "all_hazard_checks",
    "at_least",
    "at_most",
    "hazard_findings",
    "look_for_hazards",
]

Outcome = Literal["beyond the limit", "cannot tell", "within the limit"]
OUTCOMES: tuple[Outcome, ...] = ("beyond the limit", "cannot tell", "within the limit")
"""Gravest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hazard:
    """One thing that was held against one limit.

    Attributes
    ----------
    check : str
        Name of the check.
    title : str
        One line.
    outcome : Outcome
        "within the limit" says that this one limit is kept, and nothing else.
    severity : {"note", "caution", "fault"}
        How grave it is where the limit is not kept.
    what : str
        In full, with the sum.
    value : Quantity or None
        What was found; None where it cannot be told.
    limit : Quantity or None
        What it is held against; None where no number applies.
    limit_says : str
        What the limit is.
    source : str
        Table and edition, with "from memory" where it was not looked up.
    from_memory : bool
        Whether the limit was recalled rather than read.
    assumed : tuple of str
        What was taken as given.
    not_checked : tuple of str
        What this does not cover.
    parts, nets, situations : tuple of str
        What it is about, by name.
    remedy : str
        What to do about it.
    """

    check: str
    title: str
    outcome: Outcome
    severity: Severity
    what: str
    value: Quantity | None = None
    limit: Quantity | None = None
    limit_says: str = ""
    source: str = ""
    from_memory: bool = False
    assumed: tuple[str, ...] = ()
    not_checked: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    situations: tuple[str, ...] = ()
    remedy: str = ""

    @property
    def flagged(self) -> bool:
        """Whether the analyst must look at it."""
        return self.outcome != "within the limit"


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardCheck:
    """One check for one sort of danger.

    Attributes
    ----------
    name : str
        As it stands in the analysis.
    title : str
        As read by a person.
    look : callable (Subject) → tuple of Hazard
        Pure; nothing where the subject has nothing of the sort.
    says : str
        One sentence on what it looks at.
    source : str
        Where its limits come from.
    cautions : tuple of str
        Words of `lidoff.evidence.CAUTIONS` that go with it.
    not_checked : tuple of str
        What it never covers; told with every answer.
    """

    name: str
    title: str
    look: Callable[[Subject], tuple[Hazard, ...]]
    says: str
    source: str
    cautions: tuple[str, ...] = ()
    not_checked: tuple[str, ...] = ()


@cache
def all_hazard_checks() -> Mapping[str, HazardCheck]:
    """Every hazard check by name, sorted."""
    from lidoff.hazards import checks

    return catalogue(checks, of=HazardCheck)


def look_for_hazards(subject: Subject) -> tuple[Hazard, ...]:
    """Answers of every check, those beyond their limit first, and of these the gravest.

    Parameters
    ----------
    subject : Subject
        What is looked at.

    Returns
    -------
    tuple of Hazard
        Each with what its check never covers.
    """
    titles = {name: one.title for name, one in subject.situations.items()}
    found = [
        prose_with_titles(replace(hazard, not_checked=(*hazard.not_checked, *check.not_checked)), titles)
        for check in all_hazard_checks().values()
        for hazard in check.look(subject)
    ]
    return tuple(
        sorted(found, key=lambda hazard: (OUTCOMES.index(hazard.outcome), SEVERITIES.index(hazard.severity)))
    )


def at_most(value: Quantity, limit: Quantity) -> Outcome:
    """Whether a value keeps an upper limit, with its expanded uncertainty as a guard band.

    Parameters
    ----------
    value, limit : Quantity
        In one unit.

    Returns
    -------
    Outcome
        "cannot tell" where the limit lies within value ± U, k = 2 (guarded acceptance and guarded rejection of
        JCGM 106:2012, 8.3; the choice of U is a convention).

    Examples
    --------
    >>> at_most(Quantity(59.0, "V", 1.0), Quantity(60.0, "V"))
    'cannot tell'
    """
    if value.value + value.expanded <= limit.value:
        return "within the limit"
    return "beyond the limit" if value.value - value.expanded > limit.value else "cannot tell"


def at_least(value: Quantity, limit: Quantity) -> Outcome:
    """Whether a value keeps a lower limit; else as `at_most`.

    Examples
    --------
    >>> at_least(Quantity(0.003, "m", 0.0001), Quantity(0.0025, "m"))
    'within the limit'
    """
    if value.value - value.expanded >= limit.value:
        return "within the limit"
    return "beyond the limit" if value.value + value.expanded < limit.value else "cannot tell"


def hazard_findings(hazards: Iterable[Hazard]) -> tuple[Finding, ...]:
    """Findings of the hazards that the analyst must look at.

    Parameters
    ----------
    hazards : iterable of Hazard

    Returns
    -------
    tuple of Finding
        One for each that does not plainly keep its limit; one that cannot be told is a caution at most.
    """
    found = []
    for hazard in hazards:
        if not hazard.flagged:
            continue
        sure = hazard.outcome == "beyond the limit"
        held = ""
        if hazard.value is not None and hazard.limit is not None:
            held = f"{format_quantity(hazard.value)} against {format_quantity(hazard.limit)} ({hazard.limit_says})"
        assumed = f"; assumed: {'; '.join(hazard.assumed)}" if hazard.assumed else ""
        found.append(
            Finding(
                name=hazard.check,
                title=hazard.title if sure else f"Cannot tell: {hazard.title}",
                severity=hazard.severity if sure or hazard.severity == "note" else "caution",
                what=hazard.what,
                parts=hazard.parts,
                nets=hazard.nets,
                situations=hazard.situations,
                evidence=(held + assumed).removeprefix("; "),
                remedy=hazard.remedy,
                source=hazard.source,
            )
        )
    return tuple(found)
