"""Questions to a shelf: by words and facts, and how far claims overstate."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median, quantiles

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.quantities import Quantity
from lidoff.shelf.folding import words_in
from lidoff.shelf.index import Index

__all__ = ["Asked", "ClaimRecord", "Hit", "claim_records", "find"]

NEAR = 0.01
"""Share by which a number may differ from one asked for without an uncertainty."""
MOST_PLACES = 3
"""Places shown of each dossier found."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a dossier must have to be found; what is empty does not count.

    Attributes
    ----------
    words : str
        All of them, anywhere in it; the last letters of each may be missing.
    part, block, claim : str
        Name of a kind.
    marking : str
        Beginning of what is printed on a part.
    value : Quantity or None
        A number of any part, within its uncertainty or else one in a hundred.
    verdict : str
        In words, of the kind of claim if one is asked for.
    """

    words: str = ""
    part: str = ""
    block: str = ""
    claim: str = ""
    marking: str = ""
    value: Quantity | None = None
    verdict: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """One dossier that was found: where it lies, its title, and where in it and why."""

    folder: str
    title: str
    places: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimRecord:
    """How claims of one kind fared.

    Attributes
    ----------
    kind : str
        Of the claims.
    verdicts : mapping of str to int
        How many of each.
    overstated : tuple of float
        Times that each claim is better than what was found, sorted; those without numbers left out.
    """

    kind: str
    verdicts: Mapping[str, int]
    overstated: tuple[float, ...]

    @property
    def count(self) -> int:
        """All of the kind."""
        return sum(self.verdicts.values())

    @property
    def middle(self) -> float:
        """Median of the overstatements; not a number where there is none."""
        return median(self.overstated) if self.overstated else math.nan

    @property
    def quarters(self) -> tuple[float, float]:
        """Between which the middle half lies."""
        if len(self.overstated) < 2:
            return (self.middle, self.middle)
        low, _, high = quantiles(self.overstated, n=4, method="inclusive")
        return low, high


def find(index: Index, asked: Asked, *, most: int = 50) -> tuple[Hit, ...]:
    """Dossiers that have all that is asked for.

    Parameters
    ----------
    index : Index
        Open.
    asked : Asked
        At least one thing.
    most : int
        How many to tell.

    Returns
    -------
    tuple of Hit
        Best matches of the words first, else by folder.

    Raises
    ------
    ImpossibleValue
        Nothing is asked for, or the words hold no letter and no digit.
    UnknownName
        Nothing is found, and there is no such kind or verdict at all.
    """
    conditions, told = _conditions(asked)
    query = words_in(asked.words)
    if asked.words.strip() and not query:
        raise ImpossibleValue(
            f"{asked.words.strip()!r} holds no letter and no digit to look for", remedy="give words"
        )
    if not conditions and not query:
        raise ImpossibleValue("nothing is asked for", remedy="give words or something that it must have")
    ground = "d.problem = ''" + "".join(f" AND d.id IN ({condition})" for condition in conditions)
    if query:
        rows = index.connection.execute(
            "SELECT d.id, d.folder, d.title FROM words JOIN dossiers d ON d.id = words.rowid "
            f"WHERE words MATCH ? AND {ground} ORDER BY rank, d.folder LIMIT ?",
            (" ".join(f'"{word}" *' for word in query), *told, most),
        ).fetchall()
    else:
        rows = index.connection.execute(
            f"SELECT d.id, d.folder, d.title FROM dossiers d WHERE {ground} ORDER BY d.folder LIMIT ?",
            (*told, most),
        ).fetchall()
    if not rows:
        _check_names(index, asked)
    return tuple(
        Hit(folder=row[1], title=row[2], places=_places(index, row[0], asked, query)) for row in rows
    )


def _check_names(index: Index, asked: Asked) -> None:
    """Refuse a kind or verdict that neither lidoff nor the shelf has: a slip of the pen is no answer about dossiers."""
    from lidoff.circuit import all_kinds
    from lidoff.evidence import BorneOut, CannotTell, NotBorneOut, Noted, all_claim_kinds
    from lidoff.insight import all_blocks

    verdicts = [verdict.words for verdict in (BorneOut, NotBorneOut, CannotTell, Noted)]
    for what, name, own, (table, column) in (
        ("kind of part", asked.part, all_kinds(), ("parts", "kind")),
        ("kind of block", asked.block, all_blocks(), ("blocks", "kind")),
        ("kind of claim", asked.claim, all_claim_kinds(), ("claims", "kind")),
        ("verdict", asked.verdict, verdicts, ("claims", "verdict")),
    ):
        known = {*own, *index.words_of(table, column)}
        if name and name not in known:
            raise UnknownName(f"there is no {what} {name!r}", name=name, known=sorted(known))


def _conditions(asked: Asked) -> tuple[list[str], list[object]]:
    conditions: list[str] = []
    told: list[object] = []
    if asked.part:
        conditions.append("SELECT dossier FROM parts WHERE kind = ?")
        told.append(asked.part)
    if asked.marking:
        conditions.append("SELECT dossier FROM parts WHERE marking LIKE ? ESCAPE '!'")
        told.append(_beginning(asked.marking))
    if asked.block:
        conditions.append("SELECT dossier FROM blocks WHERE kind = ?")
        told.append(asked.block)
    if asked.value is not None:
        conditions.append("SELECT dossier FROM numbers WHERE unit = ? AND value BETWEEN ? AND ?")
        told.extend((asked.value.unit, *_range(asked.value)))
    if asked.claim or asked.verdict:
        parts = [("kind", asked.claim), ("verdict", asked.verdict)]
        chosen = [(column, value) for column, value in parts if value]
        conditions.append(
            "SELECT dossier FROM claims WHERE " + " AND ".join(f"{column} = ?" for column, _ in chosen)
        )
        told.extend(value for _, value in chosen)
    return conditions, told


def _beginning(text: str) -> str:
    """Pattern of what begins with a text, in which no letter stands for others."""
    return re.sub(r"([!%_])", r"!\1", text) + "%"


def _range(value: Quantity) -> tuple[float, float]:
    half = value.expanded or NEAR * abs(value.value)
    return value.value - half, value.value + half


def _places(index: Index, number: int, asked: Asked, query: Sequence[str]) -> tuple[str, ...]:
    """Where in a dossier it was found."""
    found: list[str] = []
    ask = index.connection.execute
    if query:
        told = ask("SELECT place, text FROM texts WHERE dossier = ? ORDER BY rowid", (number,)).fetchall()
        holds = [
            (sum(any(own.startswith(word) for own in words_in(text)) for word in query), place, text)
            for place, text in told
        ]
        best = sorted((one for one in holds if one[0]), key=lambda one: -one[0])
        found.extend(f"{place}: {_around(text, query)}" for _, place, text in best[:MOST_PLACES])
    if asked.part or asked.marking:
        found.extend(
            " ".join(filter(None, row))
            for row in ask(
                "SELECT reference, kind, marking FROM parts WHERE dossier = ? AND (? = '' OR kind = ?) "
                "AND marking LIKE ? ESCAPE '!' LIMIT ?",
                (number, asked.part, asked.part, _beginning(asked.marking), MOST_PLACES),
            )
        )
    if asked.block:
        found.extend(
            f"{title}: {parts}"
            for title, parts in ask(
                "SELECT title, parts FROM blocks WHERE dossier = ? AND kind = ? LIMIT ?",
                (number, asked.block, MOST_PLACES),
            )
        )
    if asked.value is not None:
        found.extend(
            f"{reference}: {parameter.replace('_', ' ')} {Quantity(value, unit)}"
            for reference, parameter, value, unit in ask(
                "SELECT reference, parameter, value, unit FROM numbers WHERE dossier = ? AND unit = ? "
                "AND value BETWEEN ? AND ? LIMIT ?",
                (number, asked.value.unit, *_range(asked.value), MOST_PLACES),
            )
        )
    if asked.claim or asked.verdict:
        found.extend(
            f"“{says}”: {verdict}"
            for says, verdict in ask(
                "SELECT says, verdict FROM claims WHERE dossier = ? AND (? = '' OR kind = ?) "
                "AND (? = '' OR verdict = ?) LIMIT ?",
                (number, asked.claim, asked.claim, asked.verdict, asked.verdict, MOST_PLACES),
            )
        )
    return tuple(found)


def _around(text: str, query: Sequence[str]) -> str:
    """Some words of a text round the first that was asked for."""
    words = text.split()
    hit = next(
        (
            k
            for k, word in enumerate(words)
            if any(own.startswith(one) for own in words_in(word) for one in query)
        ),
        0,
    )
    first, last = max(hit - 4, 0), hit + 6
    return ("… " if first else "") + " ".join(words[first:last]) + (" …" if last < len(words) else "")


def claim_records(index: Index, folders: Sequence[str] | None = None) -> tuple[ClaimRecord, ...]:
    """How claims fared, kind by kind.

    Parameters
    ----------
    index : Index
        Open.
    folders : sequence of str, optional
        Of these dossiers alone.

    Returns
    -------
    tuple of ClaimRecord
        The most frequent kind first.
    """
    verdicts: dict[str, dict[str, int]] = {}
    overstated: dict[str, list[float]] = {}
    wanted = None if folders is None else set(folders)
    for folder, claim in index.claims():
        if wanted is not None and folder not in wanted:
            continue
        counts = verdicts.setdefault(claim.kind, {})
        counts[claim.verdict] = counts.get(claim.verdict, 0) + 1
        times = claim.overstated
        if times is not None:
            overstated.setdefault(claim.kind, []).append(times)
    records = [
        ClaimRecord(kind=kind, verdicts=counts, overstated=tuple(sorted(overstated.get(kind, ()))))
        for kind, counts in verdicts.items()
    ]
    return tuple(sorted(records, key=lambda record: (-record.count, record.kind)))
