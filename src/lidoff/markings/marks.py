"""Top marks: the short prints on parts too small for their type number, as rows of a table."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from lidoff.errors import ImpossibleValue
from lidoff.markings.meaning import Reading

__all__ = ["MARKED_PARTS", "Mark", "MarkedPart", "marks_from_rows", "own_marks", "read_marks"]

MARKED_PARTS = (
    "MOSFET",
    "bipolar transistor",
    "diode",
    "integrated circuit",
    "voltage regulator",
    "zener diode",
)
"""What a marked part may be."""

FROM_MEMORY = "from memory"

# Some makers end the mark with a sign for the factory: -, p, t, W (maker's data sheet of BC848) and s (of BAV99).
_FACTORY_LETTERS = "-ptsW"


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedPart:
    """One part that a mark may stand for.

    Parameters
    ----------
    part : str
        Type number.
    what : str
        One of `MARKED_PARTS`.
    says : str
        The part in a few words, with its main limits.
    """

    part: str
    what: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One row of a table of top marks.

    Parameters
    ----------
    mark : str
        The print, capitals and small letters as printed.
    package : str
        Outline it is seen on.
    candidates : tuple of MarkedPart
        What it may be, at least one.
    source : str
        Data sheet or table; ``"from memory"`` where recalled.
    """

    mark: str
    package: str
    candidates: tuple[MarkedPart, ...]
    source: str


def marks_from_rows(table: Mapping[str, object]) -> tuple[Mark, ...]:
    """Check a parsed table of top marks and give its rows.

    Parameters
    ----------
    table : mapping
        As parsed from TOML: ``[[mark]]`` rows with ``mark``, ``package``, ``source`` and ``candidates``, the last a list
        of tables with ``part``, ``what`` and ``says``.

    Returns
    -------
    tuple of Mark
        In the order given.

    Raises
    ------
    ImpossibleValue
        A key is missing, unknown or of the wrong kind; holds every fault of the table.

    Examples
    --------
    >>> rows = {"mark": [{"mark": "Q7", "package": "SOT-23", "source": "data sheet",
    ...     "candidates": [{"part": "EX7", "what": "diode", "says": "40 V"}]}]}
    >>> marks_from_rows(rows)[0].candidates[0].part
    'EX7'
    """
    rows = table.get("mark", [])
    faults = [
        ImpossibleValue(f"unknown table {key!r}", remedy="rows stand under [[mark]]")
        for key in sorted(set(table) - {"mark"})
    ]
    if not isinstance(rows, list):
        faults.append(ImpossibleValue("mark is no list of rows", remedy="write each row under [[mark]]"))
        rows = []
    marks: list[Mark] = []
    for number, row in enumerate(rows, start=1):
        try:
            marks.append(_mark(row))
        except ImpossibleValue as error:
            error.where = f"mark {number}"
            faults.append(error)
    if faults:
        raise ImpossibleValue(
            f"the table of top marks has {len(faults)} unusable rows or keys", faults=faults
        )
    return tuple(marks)


def _mark(row: object) -> Mark:
    texts = _texts(row, ("mark", "package", "source"), extra="candidates")
    candidates = row.get("candidates") if isinstance(row, Mapping) else None
    if not isinstance(candidates, list) or not candidates:
        raise ImpossibleValue(
            f"{texts['mark']!r} has no candidates", remedy="give candidates = [{ part, what, says }]"
        )
    return Mark(
        mark=texts["mark"],
        package=texts["package"],
        candidates=tuple(_marked_part(candidate) for candidate in candidates),
        source=texts["source"],
    )


def _marked_part(row: object) -> MarkedPart:
    texts = _texts(row, ("part", "what", "says"))
    if texts["what"] not in MARKED_PARTS:
        raise ImpossibleValue(
            f"what = {texts['what']!r} is not known", remedy=f"use one of {', '.join(MARKED_PARTS)}"
        )
    return MarkedPart(part=texts["part"], what=texts["what"], says=texts["says"])


def _texts(row: object, keys: Sequence[str], *, extra: str = "") -> dict[str, str]:
    if not isinstance(row, Mapping):
        raise ImpossibleValue(f"{row!r} is no table", remedy=f"give {', '.join(keys)}")
    unknown = sorted(str(key) for key in row if key not in (*keys, extra))
    if unknown:
        raise ImpossibleValue(
            f"unknown key {unknown[0]!r}", remedy=f"known: {', '.join(filter(None, (*keys, extra)))}"
        )
    wrong = [key for key in keys if not isinstance(row.get(key), str) or not row[key].strip()]
    if wrong:
        raise ImpossibleValue(f"{wrong[0]} is missing or no text", remedy=f'give {wrong[0]} = "…"')
    return {key: str(row[key]).strip() for key in keys}


@cache
def own_marks() -> tuple[Mark, ...]:
    """Top marks that come with the package."""
    import tomllib
    from importlib.resources import files

    text = (files("lidoff.markings") / "data" / "top_marks.toml").read_text(encoding="utf-8")
    return marks_from_rows(tomllib.loads(text))


def read_marks(text: str, marks: Iterable[Mark]) -> tuple[Reading, ...]:
    """Read a print by rows of top marks.

    Parameters
    ----------
    text : str
        The print; a last sign that some makers add for the factory may follow the mark.
    marks : iterable of Mark
        The rows to look in.

    Returns
    -------
    tuple of Reading
        One for each candidate of each row that fits; empty where none does.
    """
    readings: list[Reading] = []
    for row in marks:
        exact = text == row.mark
        if not exact and not (text[:-1] == row.mark and text[-1] in _FACTORY_LETTERS):
            continue
        doubts = ["makers reuse short marks, check by pin voltages or with a meter"]
        if not exact:
            doubts.append(f"the last sign {text[-1]} is taken for a maker's sign")
        readings.extend(
            Reading(
                what=candidate.what,
                says=f"{candidate.part}: {candidate.says}",
                how=f"mark {row.mark} on {row.package}",
                plausibility=(0.6 if len(row.mark) >= 3 else 0.45) * (1.0 if exact else 0.7),
                doubts=tuple(doubts),
                from_memory=row.source == FROM_MEMORY,
                source=row.source,
            )
            for candidate in row.candidates
        )
    return tuple(readings)
