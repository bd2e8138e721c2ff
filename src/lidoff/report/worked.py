"""How a piece of the circuit works: its picture, its sums as they are set, and what is to be said of it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from lidoff.report.picture import Picture

__all__ = ["FormulaRun", "WorkedSum", "Working", "Workings", "formula_runs"]

_SHIFTED = re.compile(r"(?<=\w)_([A-Za-z0-9]+)|\^(\d+)")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormulaRun:
    """A stretch of a formula on one line of height.

    Attributes
    ----------
    text : str
    place : {"", "lowered", "raised"}
    """

    text: str
    place: Literal["", "lowered", "raised"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WorkedSum:
    """One sum, worked out.

    Attributes
    ----------
    says : str
        What comes out, and in which situation.
    formula, numbers : tuple of FormulaRun
        With letters, and with the numbers put in.
    result : str
        With its uncertainty.
    beside : tuple of str
        What the solved circuit and the readings say of the same.
    source : str
        Where the formula comes from.
    """

    says: str
    formula: tuple[FormulaRun, ...]
    numbers: tuple[FormulaRun, ...]
    result: str
    beside: tuple[str, ...] = ()
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Working:
    """One piece of the circuit, explained.

    Attributes
    ----------
    title : str
    anchor : str
        Name that links lead to.
    purpose : str
        What it is for.
    picture : Picture or None
        The piece of the schematic; None where it does not stand together on a page.
    alt : str
        What the picture shows.
    sums : tuple of WorkedSum
    notes : tuple of (str, str)
        Name of a note with its sentences, such as what is unusual.
    links : tuple of (str, str)
        (text, target) of its parts.
    """

    title: str
    anchor: str
    purpose: str
    picture: Picture | None = None
    alt: str = ""
    sums: tuple[WorkedSum, ...] = ()
    notes: tuple[tuple[str, tuple[str, ...]], ...] = ()
    links: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Workings:
    """How the circuit works, piece by piece.

    Attributes
    ----------
    entries : tuple of Working
    """

    entries: tuple[Working, ...]


def formula_runs(formula: str) -> tuple[FormulaRun, ...]:
    """Stretches of a formula written with ``_`` for what is lowered and ``^`` for what is raised.

    Parameters
    ----------
    formula : str
        Such as ``(V − V_F)^2 ÷ R``.

    Returns
    -------
    tuple of FormulaRun

    Examples
    --------
    >>> [(run.text, run.place) for run in formula_runs("I^2 · R_on")]
    [('I', ''), ('2', 'raised'), (' · R', ''), ('on', 'lowered')]
    """
    runs: list[FormulaRun] = []
    done = 0
    for found in _SHIFTED.finditer(formula):
        if found.start() > done:
            runs.append(FormulaRun(text=formula[done : found.start()]))
        lowered, raised = found.groups()
        runs.append(FormulaRun(text=lowered or raised, place="lowered" if lowered else "raised"))
        done = found.end()
    if done < len(formula):
        runs.append(FormulaRun(text=formula[done:]))
    return tuple(runs)
