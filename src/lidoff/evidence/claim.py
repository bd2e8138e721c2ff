"""Claims: what is printed, where, and what would bear it out; and what a kind of claim must tell about itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Literal

from lidoff.catalogue import catalogue
from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.evidence.reading import Target, read_text
from lidoff.quantities import Quantity

__all__ = [
    "SENSES",
    "Claim",
    "ClaimKind",
    "FromReading",
    "FromSolution",
    "FromStatement",
    "Role",
    "Sense",
    "Source",
    "Way",
    "all_claim_kinds",
    "claim_kind_of",
]

Sense = Literal["at least", "at most", "about", "exactly"]
SENSES: tuple[Sense, ...] = ("at least", "at most", "about", "exactly")
USUAL_TOLERANCE = "10 %"
"""Width of "about" where the dossier states none; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """One input of a claim's sum.

    Attributes
    ----------
    name : str
        As in the dossier's ``from``.
    unit : str
        Kept unit; empty for any.
    title : str
        As a person says it.
    """

    name: str
    unit: str
    title: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to work a claim out.

    Attributes
    ----------
    inputs : tuple of Role
        What goes in.
    combine : callable
        One float an input, in the roles' units, to a float in the kind's unit.
    written : str
        The sum as a person writes it, with ``{role}`` for each input.
    """

    inputs: tuple[Role, ...]
    combine: Callable[..., float]
    written: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimKind:
    """What a kind of claim tells about itself.

    Attributes
    ----------
    name : str
        As in the dossier.
    title : str
        As a person says it.
    unit : str
        Kept unit of the claimed value; empty where the claim brings its own.
    ways : tuple of Way
        How it can be worked out; told apart by the names of their inputs.
    sense : {"at least", "at most", "about", "exactly"}
        How such a claim is read where the dossier does not say.
    says : str
        One sentence: what is tested.
    source : str
        Where the method comes from.
    shown_in : str
        Unit that people use for it; empty for the one that fits.
    cautions : str
        What the sum leaves out.
    """

    name: str
    title: str
    unit: str
    ways: tuple[Way, ...]
    sense: Sense
    says: str
    source: str
    shown_in: str = ""
    cautions: str = ""

    def way_for(self, roles: frozenset[str]) -> Way | None:
        """Way whose inputs are just these, if any."""
        return next((way for way in self.ways if {role.name for role in way.inputs} == roles), None)

    def nearest_way(self, roles: frozenset[str]) -> Way:
        """Way that lacks the fewest inputs."""
        return min(self.ways, key=lambda way: len({role.name for role in way.inputs} ^ roles))


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


Source = FromReading | FromSolution | FromStatement


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
        What is claimed, with unit.
    where : str
        Where it is printed.
    sense : str
        ``at least``, ``at most``, ``about`` or ``exactly``; empty for what is usual for the kind.
    tolerance : str
        Share or amount that is granted to the claim, such as ``"10 %"``; empty for none, or the usual one for ``about``.
    inputs : mapping of str to Source
        By role: where the numbers come from.
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
    note: str = ""

    @property
    def quantity(self) -> Quantity:
        """The claimed value, in the unit of the claim's kind."""
        return read_text(self.value, claim_kind_of(self).unit)

    @property
    def read_as(self) -> Sense:
        """How the claim is read."""
        return next((sense for sense in SENSES if sense == self.sense), claim_kind_of(self).sense)

    def check(self) -> None:
        """Refuse texts that cannot be read.

        Raises
        ------
        ImpossibleValue, UnknownName
            A text is not understood, or a name is not known.
        """
        kind = claim_kind_of(self)
        claimed = self.quantity
        if self.sense and self.sense not in SENSES:
            raise UnknownName(f"the sense {self.sense!r} is not understood", name=self.sense, known=SENSES)
        if self.read_as == "exactly" and claimed.unit != "1" and not self.tolerance:
            raise ImpossibleValue(
                f"{self.value} cannot be met exactly, since it is measured and not counted",
                remedy='use sense = "about", or grant a tolerance',
            )
        if granted(self, claimed) < 0.0:
            raise ImpossibleValue(
                f"the tolerance {self.tolerance!r} is negative", remedy="give it from zero up"
            )
        roles = {role.name for way in kind.ways for role in way.inputs}
        for name in self.inputs:
            if name not in roles:
                raise UnknownName(
                    f"a claim of {kind.title} is not worked out from {name!r}", name=name, known=roles
                )


def granted(claim: Claim, claimed: Quantity) -> float:
    """Tolerance of a claim, in the claimed value's unit."""
    text = claim.tolerance or (USUAL_TOLERANCE if claim.read_as == "about" else "")
    if not text:
        return 0.0
    if text.strip().endswith("%"):
        return abs(claimed.value) * read_text(text, "1").value
    return read_text(text, claimed.unit).value


@cache
def all_claim_kinds() -> Mapping[str, ClaimKind]:
    """Every kind of claim by name, sorted."""
    from lidoff.evidence import claims

    return catalogue(claims, of=ClaimKind)


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
