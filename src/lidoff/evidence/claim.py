"""Claims: what is printed, where, and what would bear it out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.claim_kind import SENSES, Band, ClaimKind, Sense, all_claim_kinds
from lidoff.evidence.reading import Target, read_text
from lidoff.quantities import Quantity, format_quantity, unit_as_written

__all__ = ["Claim", "FromReading", "FromSolution", "FromStatement", "FromTrial", "Source", "claim_kind_of"]

USUAL_TOLERANCE = "10 %"
"""Width of "about" where the dossier states none; common practice, no source."""
READABLE = (0.1, 1e5)
"""Sizes of a number that are still shown in the claim's own unit; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FromReading:
    """An input taken from a reading of that name."""

    reading: str

    def __str__(self) -> str:
        return f"reading {self.reading}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FromSolution:
    """An input taken from the solved circuit.

    Attributes
    ----------
    situation : str
        In which situation.
    target : Target
        What is asked of it.
    """

    situation: str
    target: Target

    def __str__(self) -> str:
        return f"solved {self.target} when {self.situation}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FromStatement:
    """An input that the analyst states.

    Attributes
    ----------
    value : str
        With unit and, if it is not exact, ``±``.
    why : str
        On what ground.
    """

    value: str
    why: str

    def __str__(self) -> str:
        return f"stated: {self.why}"


@dataclass(frozen=True, slots=True, kw_only=True)
class FromTrial:
    """An input taken from a trial of that name: the share of its tries that worked."""

    trial: str

    def __str__(self) -> str:
        return f"trial {self.trial}"


Source = FromReading | FromSolution | FromStatement | FromTrial


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One claim on the box, the label or in the listing.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    kind : str
        Name of its kind, see `all_claim_kinds`.
    says : str
        The words as printed.
    value : str
        What is claimed, with unit, or one of the words that the kind knows.
    where : str
        Where it is printed.
    sense : str
        ``at least``, ``at most``, ``about`` or ``exactly``; empty for what is usual for the kind.
    tolerance : str
        Share or amount that is granted to the claim, such as ``"10 %"``; empty for none, or the usual one for ``about``.
    inputs : mapping of str to Source
        By role: where the numbers come from.
    trials : tuple of str
        Trials that speak to it, told beside the verdict.
    note : str
        How the analyst reads it.
    """

    name: str
    kind: str
    says: str
    value: str
    where: str = ""
    sense: str = ""
    tolerance: str = ""
    inputs: Mapping[str, Source] = field(default_factory=dict)
    trials: tuple[str, ...] = ()
    note: str = ""

    @property
    def band(self) -> Band | None:
        """What the claimed word stands for, if a word is claimed."""
        named = claim_kind_of(self).named
        return next((band for word, band in named.items() if word.casefold() == self.value.casefold()), None)

    @property
    def quantity(self) -> Quantity | None:
        """The claimed value in the unit of the claim's kind; None for a word, and for what is only noted."""
        kind = claim_kind_of(self)
        if kind.sense == "noted" or self.band is not None:
            return None
        return read_text(self.value, kind.unit)

    @property
    def read_as(self) -> Sense:
        """How the claim is read."""
        usual = claim_kind_of(self).sense
        return next((sense for sense in SENSES if sense == self.sense), usual)

    @property
    def printed(self) -> str:
        """The claimed value as it is written."""
        return f"{self.value} ({self.band})" if self.band is not None else self.value

    def shown(self, quantity: Quantity, *, with_uncertainty: bool = True) -> str:
        """Another value beside the claimed one: in its unit, unless the number would be hard to read so."""
        unit = unit_as_written(self.value) if self.quantity is not None else ""
        if unit and READABLE[0] <= abs(quantity.value_in(unit)) < READABLE[1]:
            return format_quantity(quantity, shown_in=unit, with_uncertainty=with_uncertainty)
        usual = claim_kind_of(self).shown_in or None
        return format_quantity(quantity, shown_in=usual, with_uncertainty=with_uncertainty)

    def check(self) -> None:
        """Refuse texts that cannot be read.

        Raises
        ------
        ImpossibleValue, UnknownName
            A text is not understood, or a name is not known.
        """
        kind = claim_kind_of(self)
        if self.sense and self.sense not in SENSES:
            raise UnknownName(f"the sense {self.sense!r} is not understood", name=self.sense, known=SENSES)
        _check_value(self, kind)
        roles = {role.name for way in kind.ways for role in way.inputs}
        for name in self.inputs:
            if name not in roles:
                raise UnknownName(
                    f"a claim of {kind.title} is not worked out from {name!r}", name=name, known=roles
                )


def _check_value(claim: Claim, kind: ClaimKind) -> None:
    """Refuse a value, sense or tolerance that means nothing."""
    if kind.named and kind.sense == "within" and claim.band is None:
        raise UnknownName(
            f"{claim.value!r} is no {kind.title} that is known", name=claim.value, known=kind.named
        )
    claimed = claim.quantity
    if claimed is None:
        if claim.sense or claim.tolerance:
            given = "sense" if claim.sense else "tolerance"
            raise ImpossibleValue(f"{claim.value!r} is a word and has no {given}", remedy="leave it out")
        return
    if claim.read_as == "exactly" and claimed.unit != "1" and not claim.tolerance:
        raise ImpossibleValue(
            f"{claim.value} cannot be met exactly, since it is measured and not counted",
            remedy='use sense = "about", or grant a tolerance',
        )
    if _granted(claim, claimed) < 0.0:
        raise ImpossibleValue(f"the tolerance {claim.tolerance!r} is negative", remedy="give it from zero up")


def limits_of(claim: Claim) -> tuple[float | None, float | None]:
    """Limits that the true value must lie within for a claim to hold, in its kind's unit; None for no limit."""
    band, claimed = claim.band, claim.quantity
    if band is not None:
        unit = claim_kind_of(claim).unit
        low, high = (read_text(text, unit).value if text else None for text in (band.low, band.high))
        return low, high
    if claimed is None:
        return None, None
    tolerance = _granted(claim, claimed)
    if claim.read_as == "at least":
        return claimed.value - tolerance, None
    if claim.read_as == "at most":
        return None, claimed.value + tolerance
    if claim.read_as == "exactly" and claimed.unit == "1" and not claim.tolerance:
        tolerance = 0.5  # the nearest whole number counts
    return claimed.value - tolerance, claimed.value + tolerance


def _granted(claim: Claim, claimed: Quantity) -> float:
    """Tolerance of a claim, in the claimed value's unit."""
    text = claim.tolerance or (USUAL_TOLERANCE if claim.read_as == "about" else "")
    if not text:
        return 0.0
    if text.strip().endswith("%"):
        return abs(claimed.value) * read_text(text, "1").value
    return read_text(text, claimed.unit).value


def claim_kind_of(claim: Claim) -> ClaimKind:
    """Kind of a claim.

    Parameters
    ----------
    claim : Claim
        What is claimed.

    Returns
    -------
    ClaimKind
        From the catalogue.

    Raises
    ------
    UnknownName
        No kind has that name; the nearest is suggested.
    """
    known = all_claim_kinds()
    if claim.kind not in known:
        raise UnknownName(f"unknown kind of claim {claim.kind!r}", name=claim.kind, known=known)
    return known[claim.kind]
