"""What crosses the border between page and server."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    JsonValue,
    SkipValidation,
    StringConstraints,
)

from lidoff.bench.trouble import Fault, Trouble
from lidoff.dossier.edits import Edit

__all__ = [
    "Acknowledged",
    "Amount",
    "AnalysisAnswer",
    "Beginning",
    "Beginnings",
    "Begun",
    "Closed",
    "DossierFile",
    "EditAsked",
    "HistoryAnswer",
    "HistoryEntry",
    "HistoryTold",
    "Id",
    "KeepOwn",
    "Meaning",
    "Name",
    "Outside",
    "Plain",
    "Shown",
    "Shows",
    "State",
    "StepAsked",
    "Understand",
    "Understood",
]

Plain = dict[str, JsonValue]
Unchecked = Annotated[dict[str, JsonValue], SkipValidation]
"""Plain data of our own making, which is not looked through once more on its way out."""
Name = Annotated[str, StringConstraints(max_length=80)]
Id = Annotated[str, StringConstraints(max_length=64, min_length=1)]


class Closed(BaseModel):
    """A body that holds what it names and nothing else."""

    model_config = ConfigDict(extra="forbid")


class Amount(Closed):
    """A number with its unit, and its expanded uncertainty where that is known."""

    value: float
    unit: str
    uncertainty: float | None = None


class HistoryTold(Closed):
    """What undo and redo would do now."""

    can_undo: bool
    undo_title: str
    can_redo: bool
    redo_title: str
    length: int


class DossierFile(Closed):
    """One file of the folder: a photo, a log or another, and whether the dossier names it."""

    path: str
    bytes: int
    modified: float
    kind: Literal["photo", "log", "other"]
    told: bool


class Outside(Closed):
    """A file that was changed by another program and could not be taken in."""

    file: str
    what: str
    remedy: str


class State(Closed):
    """The whole dossier at one revision."""

    revision: int
    folder: str
    title: str
    begun: bool
    writable: bool
    why_not_writable: str
    unsaved: str
    document: Unchecked
    boards: list[str]
    faults: list[Fault]
    outside: Outside | None
    history: HistoryTold
    files: list[DossierFile]


class Shows(Closed):
    """What a page shows of the circuit: the answer to an edit brings it along as it is after the edit."""

    situation: Name = ""
    currents: bool = False
    every_part: bool = False
    zigzag: bool = False
    tint: bool = False


_NO_TEXT = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff\ufffe\uffff]")
"""Letters that stand for nothing to be read, and that XML 1.0, 2.2, cannot hold."""


def _of_text(told: object) -> object:
    """Plain data whose texts hold letters alone."""
    if isinstance(told, str) and (found := _NO_TEXT.search(told)):
        raise ValueError(f"a text holds U+{ord(found[0]):04X}, which is no letter")
    if isinstance(told, dict):
        for name, value in told.items():
            _of_text(name)
            _of_text(value)
    elif isinstance(told, list):
        for value in told:
            _of_text(value)
    return told


class EditAsked(Closed):
    """An edit, the state that it rests on, and who asks."""

    id: Id
    base: int = Field(ge=0)
    page: Name = ""
    edit: Annotated[Annotated[Edit, Field(discriminator="kind")], BeforeValidator(_of_text)]
    shows: Shows | None = None


class StepAsked(Closed):
    """An undo or a redo."""

    id: Id
    base: int = Field(ge=0)
    page: Name = ""
    shows: Shows | None = None


class AnalysisAnswer(Closed):
    """An analysis, of which revision it is, and whether it is of the present one."""

    revision: int
    generation: int
    stage: Literal["quick", "full"]
    fresh: bool
    problem: Trouble | None
    analysis: Unchecked | None


class Shown(Closed):
    """What a page shows, after an edit: numbers at once, the drawing where it was ready soon enough."""

    quick: AnalysisAnswer
    svg: str | None


class Acknowledged(Closed):
    """An edit that is on the disk, the state after it, and what was asked to be shown of that; a phone is not told these."""

    revision: int
    title: str
    undone: Literal["undo", "redo"] | None
    page: str
    id: str
    touches: list[list[str | int]]
    state: State | None
    file: str = ""
    shown: Shown | None = None


class HistoryEntry(Closed):
    """One change of the history."""

    revision: int
    time: str
    title: str
    page: str
    kind: Literal["edit", "undo", "redo", "outside"]
    by: Literal["page", "phone", "outside"]
    undone: bool


class HistoryAnswer(Closed):
    """Changes, the newest first."""

    entries: list[HistoryEntry]


class KeepOwn(Closed):
    """Whose state of a file is to stand: the workbench's own."""

    keep: Literal["own"]


class Beginning(Closed):
    """A demo that a dossier can be begun with."""

    name: str
    title: str


class Beginnings(Closed):
    """All demos."""

    demos: list[Beginning]


class Begun(Closed):
    """How a dossier is to begin: as a copy of a demo, or empty under a title."""

    demo: str | None = None
    title: Annotated[str, StringConstraints(max_length=200)] = ""
    id: Id
    page: Name = ""


class Understand(Closed):
    """A text, and what it is to be read as."""

    text: Annotated[str, StringConstraints(max_length=500)]
    read_as: Literal["quantity", "value", "accuracy", "marking", "shown", "length"] = Field(alias="as")
    unit: Name = ""
    kind: Name = ""


class Meaning(Closed):
    """One thing that a marking may mean."""

    title: str
    says: str
    value: str
    kind: str
    likely: float


class Understood(Closed):
    """What was understood of a text; else the problem."""

    understood: bool
    said: str = ""
    value: float | None = None
    unit: str = ""
    uncertainty: float | None = None
    meanings: list[Meaning] = []
    problem: Trouble | None = None
