"""The shelf beside the dossier on the bench: what it holds, what is found on it, what is like this circuit."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from lidoff.bench.jobs import Teller
from lidoff.bench.models import Plain
from lidoff.bench.shelf_models import (
    ShelfAlike,
    ShelfAsked,
    ShelfFound,
    ShelfHit,
    ShelfLike,
    ShelfLikeness,
    ShelfProblem,
    ShelfRecord,
    ShelfTold,
)
from lidoff.errors import ImpossibleValue, LidoffError, UnknownName

if TYPE_CHECKING:
    from lidoff.bench.quick import Quick
    from lidoff.shelf import ClaimRecord, Index, ShelfEntry

__all__ = [
    "alike_on",
    "dossier_told",
    "found_on",
    "own_folder",
    "record_told",
    "records_on",
    "records_picture",
    "shelf_told",
    "update_shelf",
]

MOST_HITS = 50


@contextmanager
def _opened(index: Path) -> Iterator[Index]:
    from lidoff.shelf import open_index

    if not index.is_file():
        raise UnknownName("the shelf was not read yet", remedy="read it first; that may take a while, once")
    with open_index(index) as found:
        yield found


def own_folder(shelf: Path, dossier: Path) -> str:
    """Folder of the dossier on the bench, below the shelf's; empty where it lies elsewhere.

    Parameters
    ----------
    shelf, dossier : Path
        The two folders.

    Returns
    -------
    str
        With ``/``.
    """
    root, place = shelf.resolve(), dossier.resolve()
    return place.relative_to(root).as_posix() if root != place and place.is_relative_to(root) else ""


def shelf_told(shelf: Path, index: Path, dossier: Path) -> ShelfTold:
    """What the index knows of the shelf.

    Parameters
    ----------
    shelf : Path
        Folder that the dossiers lie below.
    index : Path
        File of the index.
    dossier : Path
        Folder of the dossier on the bench.

    Returns
    -------
    ShelfTold
        Without anything found where the shelf was not read yet.

    Raises
    ------
    DossierError
        The index cannot be read.
    """
    own = own_folder(shelf, dossier)
    if not index.is_file():
        return ShelfTold(folder=str(shelf.resolve()), read=False, own=own)
    with _opened(index) as found:
        return ShelfTold(
            folder=str(shelf.resolve()),
            read=True,
            dossiers=found.count(),
            own=own,
            problems=[ShelfProblem(folder=one, what=what) for one, what in found.problems().items()],
            parts=found.words_of("parts", "kind"),
            blocks=found.words_of("blocks", "kind"),
            claims=found.words_of("claims", "kind"),
            verdicts=found.words_of("claims", "verdict"),
        )


def update_shelf(tell: Teller, shelf: Path, index: Path) -> Plain:
    """Bring the index up to date; runs in the process of a job.

    Parameters
    ----------
    tell : callable (text, share)
        Told of each dossier.
    shelf, index : Path
        Folder of the shelf and file of its index, which is made where there is none.

    Returns
    -------
    dict
        ``dossiers``, ``read``, ``gone`` and ``problems`` by folder.

    Raises
    ------
    DossierError
        The folder or the index cannot be read.
    """
    from lidoff.shelf import dossiers_under, open_index, update

    tell("looking for dossiers", 0.0)
    next(dossiers_under(shelf), "")  # a folder that is not there is told before an index is made in it
    with open_index(index) as found:
        done = update(found, shelf, processes=1, progress=tell)
    problems: Any = dict(done.problems)
    return {"dossiers": done.dossiers, "read": done.read, "gone": done.gone, "problems": problems}


def found_on(index: Path, asked: ShelfAsked, own: str) -> ShelfFound:
    """Dossiers that have all that is asked for.

    Parameters
    ----------
    index : Path
        File of the index.
    asked : ShelfAsked
        At least one thing.
    own : str
        Folder of the dossier on the bench.

    Returns
    -------
    ShelfFound
        Best matches of the words first, else by folder.

    Raises
    ------
    ImpossibleValue, UnknownName
        Nothing is asked for, the value is no quantity, or the shelf was not read yet.
    """
    from lidoff.shelf import find

    with _opened(index) as found:
        hits = find(found, _asked(asked), most=MOST_HITS)
    return ShelfFound(
        hits=[
            ShelfHit(folder=hit.folder, title=hit.title, places=list(hit.places), own=hit.folder == own)
            for hit in hits
        ]
    )


def dossier_told(folder: str, place: Path) -> dict[str, object] | LidoffError:
    """What a dossier of the shelf comes to; the error that stands in the way. Runs beside the server.

    Parameters
    ----------
    folder : str
        Below the shelf's.
    place : Path
        Where that is.

    Returns
    -------
    dict or LidoffError
        Fields of `ShelfDossier`.
    """
    from lidoff.dossier import analyse, load_dossier

    try:
        analysis = analyse(load_dossier(place))
    except LidoffError as error:
        return error
    device = analysis.dossier.device
    return {
        "folder": folder,
        "title": device.title,
        "maker": device.maker,
        "model": device.model,
        "summary": device.summary,
        "claims": [
            {
                "says": result.claim.says,
                "where": result.claim.where,
                "shown": result.shown,
                "verdict": result.verdict.words,
            }
            for result in analysis.claims
        ],
        "findings": [
            {"title": finding.title, "what": finding.what, "severity": str(finding.severity)}
            for finding in analysis.findings
        ],
    }


def _asked(asked: ShelfAsked) -> Any:
    from lidoff.quantities import parse_quantity
    from lidoff.shelf import Asked

    told = asked.model_dump()
    return Asked(**{**told, "value": parse_quantity(asked.value) if asked.value.strip() else None})


def records_on(index: Path, asked: ShelfAsked) -> tuple[ClaimRecord, ...]:
    """How claims fared, of the dossiers that have what is asked for, or of all.

    Parameters
    ----------
    index : Path
        File of the index.
    asked : ShelfAsked
        What they must have; nothing for all.

    Returns
    -------
    tuple of ClaimRecord
        Of `lidoff.shelf`.

    Raises
    ------
    ImpossibleValue, UnknownName
        The value is no quantity, or the shelf was not read yet.
    """
    from lidoff.shelf import claim_records, find

    with _opened(index) as found:
        if asked == ShelfAsked():
            return claim_records(found)
        return claim_records(found, [hit.folder for hit in find(found, _asked(asked), most=100_000)])


def record_told(record: ClaimRecord) -> ShelfRecord:
    """Record as it is told."""

    def number(value: float) -> float | None:
        return None if math.isnan(value) else value

    low, high = record.quarters
    return ShelfRecord(
        kind=record.kind,
        count=record.count,
        verdicts=dict(record.verdicts),
        overstated=list(record.overstated),
        middle=number(record.middle),
        low=number(low),
        high=number(high),
    )


def records_picture(records: tuple[ClaimRecord, ...]) -> str:
    """Picture of how far claims overstate, as SVG."""
    from lidoff.shelf.telling import records_svg

    return records_svg(records)


def alike_on(index: Path, quick: Quick, blocks: object, asked: ShelfLike, own: str) -> ShelfLikeness:
    """Circuits on the shelf like the one on the bench, or that have what some of its parts are in.

    Parameters
    ----------
    index : Path
        File of the index.
    quick : Quick
        Circuit on the bench.
    blocks : list of dict
        Its recognised blocks, as plain data.
    asked : ShelfLike
        Which of its parts.
    own : str
        Its folder on the shelf, which is left out.

    Returns
    -------
    ShelfLikeness
        For named parts, likeness is the share of their surroundings that occurs there too.

    Raises
    ------
    UnknownName, ImpossibleValue
        There is no such part, no circuit, or the shelf was not read yet.
    """
    from lidoff.shelf import alike

    with _opened(index) as found:
        alike_ones = alike(found, _entry(quick, blocks, asked.parts, own), within=bool(asked.parts))
    return ShelfLikeness(
        revision=quick.revision,
        found=[
            ShelfAlike(
                folder=one.folder,
                title=one.title,
                likeness=one.likeness,
                blocks=list(one.blocks),
                markings=list(one.markings),
            )
            for one in alike_ones
        ],
    )


def _entry(quick: Quick, blocks: object, references: list[str], own: str) -> ShelfEntry:
    from lidoff.shelf import ShelfBlock, ShelfEntry, ShelfPart, part_labels

    circuit = quick.circuit
    if circuit is None or not circuit.parts:
        raise quick.problem or ImpossibleValue(
            "there is no circuit to look for", remedy="add parts and their pins"
        )
    labels = part_labels(circuit)
    for reference in references:
        if reference not in labels:
            raise UnknownName(f"there is no part {reference!r}", name=reference, known=labels)
    wanted = set(references) or set(labels)
    told = [one for one in blocks if wanted.intersection(one["parts"])] if isinstance(blocks, list) else []
    return ShelfEntry(
        folder=own,
        title="",
        parts=tuple(
            ShelfPart(reference=part.reference, kind=part.kind, marking=part.marking)
            for part in circuit.parts
            if part.reference in wanted
        ),
        blocks=tuple(
            ShelfBlock(kind=str(one["kind"]), title=str(one["title"]), parts=tuple(one["parts"]))
            for one in told
        ),
        labels=Counter(label for reference in wanted for label in labels[reference]),
    )
