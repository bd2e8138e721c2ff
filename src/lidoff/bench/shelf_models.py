"""What crosses the border between page and server about the shelf."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints

from lidoff.bench.models import Closed, Name

__all__ = [
    "ShelfAlike",
    "ShelfAsked",
    "ShelfDossier",
    "ShelfFinding",
    "ShelfFound",
    "ShelfHit",
    "ShelfLike",
    "ShelfLikeness",
    "ShelfProblem",
    "ShelfRecord",
    "ShelfRecords",
    "ShelfTold",
    "ShelfVerdict",
]

Text = Annotated[str, StringConstraints(max_length=200)]


class ShelfProblem(Closed):
    """A dossier that could not be read, and why."""

    folder: str
    what: str


class ShelfTold(Closed):
    """The shelf as its index knows it; `read` tells whether there is an index at all.

    `own` is the folder of the dossier on the bench, below the shelf's; empty where it lies elsewhere. `parts`, `blocks`,
    `claims` and `verdicts` are the kinds that occur.
    """

    folder: str
    read: bool
    dossiers: int = 0
    own: str = ""
    problems: list[ShelfProblem] = Field(default_factory=list)
    parts: list[str] = Field(default_factory=list)
    blocks: list[str] = Field(default_factory=list)
    claims: list[str] = Field(default_factory=list)
    verdicts: list[str] = Field(default_factory=list)


class ShelfAsked(Closed):
    """What a dossier must have to be found; what is empty does not count."""

    words: Text = ""
    part: Name = ""
    block: Name = ""
    claim: Name = ""
    marking: Name = ""
    value: Name = ""
    verdict: Name = ""


class ShelfHit(Closed):
    """One dossier that was found: where in it and why, and whether it is the one on the bench."""

    folder: str
    title: str
    places: list[str]
    own: bool


class ShelfFound(Closed):
    """Dossiers that have all that was asked for."""

    hits: list[ShelfHit]


class ShelfVerdict(Closed):
    """One claim of a dossier on the shelf, what was found, and the verdict in words."""

    says: str
    where: str
    shown: str
    verdict: str


class ShelfFinding(Closed):
    """One finding of a dossier on the shelf."""

    title: str
    what: str
    severity: str


class ShelfDossier(Closed):
    """One dossier of the shelf, as it stands now."""

    folder: str
    title: str
    maker: str
    model: str
    summary: str
    claims: list[ShelfVerdict]
    findings: list[ShelfFinding]


class ShelfLike(Closed):
    """What to look for: the whole circuit on the bench, or some of its parts where they are named."""

    parts: list[Name] = Field(default=[], max_length=500)


class ShelfAlike(Closed):
    """One dossier with a circuit like the one asked for: how much, from 0 to 1, and what both have."""

    folder: str
    title: str
    likeness: float
    blocks: list[str]
    markings: list[str]


class ShelfLikeness(Closed):
    """Circuits like the one on the bench, the most alike first, and the revision of that."""

    revision: int
    found: list[ShelfAlike]


class ShelfRecord(Closed):
    """How claims of one kind fared; `overstated` tells how many times each claim is better than what was found, sorted."""

    kind: str
    count: int
    verdicts: dict[str, int]
    overstated: list[float]
    middle: float | None
    low: float | None
    high: float | None


class ShelfRecords(Closed):
    """How claims fared, the most frequent kind first."""

    records: list[ShelfRecord]
