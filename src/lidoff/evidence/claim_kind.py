"""What a kind of claim must tell about itself: what it tests, how it is worked out, and an example of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any, Literal

from lidoff.catalogue import catalogue

__all__ = ["SENSES", "Band", "Bound", "ClaimKind", "Example", "Role", "Sense", "Way", "all_claim_kinds"]

Sense = Literal["at least", "at most", "about", "exactly", "within", "noted"]
SENSES: tuple[Sense, ...] = ("at least", "at most", "about", "exactly")
"""How a dossier may say that a claim is read; "within" and "noted" belong to kinds of claim that are read so only."""


Bound = Literal["", "lower", "upper"]
"""Whether a sum gives the value itself, or only what the true value is at least, or at most."""


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
    unsigned : bool
        Whether only its amount goes into the sum, since its sign tells no more than which way it was counted: into a pin or
        out of it, by this lead or that.
    """

    name: str
    unit: str
    title: str
    unsigned: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to work a claim out.

    Attributes
    ----------
    inputs : tuple of Role
        What goes in.
    combine : callable
        One float an input, in the roles' units, to a float in the kind's unit; takes arrays of draws as well.
    written : str
        The sum as a person writes it, with ``{role}`` for each input.
    estimate : str
        Why the result is an estimate and no measurement; empty where it is one.
    cautions : str
        What this way leaves out.
    steady : bool
        Whether it takes power to be volts times amperes, which holds for steady inputs alone.
    bound : {"", "lower", "upper"}
        Whether the result is what the true value is at least, or at most. A lower bound speaks against "at most" and for
        "at least", an upper bound the other way round; neither ever says more.
    """

    inputs: tuple[Role, ...]
    combine: Callable[..., Any]
    written: str
    estimate: str = ""
    cautions: str = ""
    steady: bool = False
    bound: Bound = ""

    @property
    def is_plain(self) -> bool:
        """Whether the one input is the result as it stands."""
        return len(self.inputs) == 1 and self.written == f"{{{self.inputs[0].name}}}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """What a word on a box stands for, such as "USB 2.0" or "UV-A".

    Attributes
    ----------
    low, high : str
        Limits that the true value must lie within, with unit; empty for none.
    source : str
        Where they come from.
    """

    low: str = ""
    high: str = ""
    source: str = ""

    def __str__(self) -> str:
        if self.low and self.high:
            return f"{self.low} to {self.high}"
        return f"at least {self.low}" if self.low else f"at most {self.high}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """One claim of a kind, worked out: shown in the documents and held against `judge` by the tests.

    Attributes
    ----------
    says : str
        The words as printed; invented.
    value : str
        What is claimed.
    inputs : mapping of str to str
        By role: its value, with ``±`` where it is uncertain.
    found : str
        What comes out, without ``±``, as it is printed; empty where nothing is found.
    verdict : str
        Words of the verdict.
    """

    says: str
    value: str
    inputs: Mapping[str, str] = field(default_factory=dict)
    found: str = ""
    verdict: str


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
        How it can be worked out; told apart by the names of their inputs. None for a kind that is only noted.
    sense : {"at least", "at most", "about", "exactly", "within", "noted"}
        How such a claim is read where the dossier does not say.
    says : str
        One sentence: what is tested.
    source : str
        Where the method comes from.
    examples : tuple of Example
        At least one for each way.
    shown_in : str
        Unit that people use for it where the claim itself is written in none; empty for the one that fits.
    cautions : str
        What the sum leaves out.
    named : mapping of str to Band
        Words that may be claimed in place of a value.
    unanswered : str
        Why such a claim says nothing by itself; empty where only a reading is missing.
    tells : str
        What would tell where no reading of one input does; empty for the inputs of the nearest way.
    spans : bool
        Whether the claim is a range that the inputs, in rising order, must reach over.
    signed : bool
        Whether such a quantity may lie below zero, as a voltage may and a time may not.
    explains : callable (str) → str, optional
        For a kind that is only noted: what the printed value means.
    """

    name: str
    title: str
    unit: str
    ways: tuple[Way, ...]
    sense: Sense
    says: str
    source: str
    examples: tuple[Example, ...]
    shown_in: str = ""
    cautions: str = ""
    named: Mapping[str, Band] = field(default_factory=dict)
    unanswered: str = ""
    tells: str = ""
    spans: bool = False
    signed: bool = False
    explains: Callable[[str], str] | None = None

    def way_for(self, roles: frozenset[str]) -> Way | None:
        """Way whose inputs are just these, if any."""
        return next((way for way in self.ways if {role.name for role in way.inputs} == roles), None)

    def nearest_way(self, roles: frozenset[str]) -> Way:
        """Way that lacks the fewest inputs."""
        return min(self.ways, key=lambda way: len({role.name for role in way.inputs} ^ roles))


@cache
def all_claim_kinds() -> Mapping[str, ClaimKind]:
    """Every kind of claim by name, sorted."""
    from lidoff.evidence import claims

    return catalogue(claims, of=ClaimKind)
