"""Trials, and findings: what the analyst should know, with its evidence."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from lidoff.errors import ImpossibleValue

__all__ = ["SEVERITIES", "Finding", "Severity", "Trial"]

Severity = Literal["note", "caution", "fault"]
SEVERITIES: tuple[Severity, ...] = ("fault", "caution", "note")
"""Gravest first."""
_COUNTED = re.compile(r"(\d{1,6})\s*(?:of|/)\s*(\d{1,6})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One thing that was tried with the device, and what was seen.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    what : str
        What was tried.
    situation : str
        In which situation; empty where it belongs to none.
    duration : str
        For how long, with its unit; empty where it does not matter.
    seen : str
        What was seen.
    worked : str
        For what was tried several times: how often it worked, such as ``"9 of 10"``.
    """

    name: str
    what: str
    seen: str
    situation: str = ""
    duration: str = ""
    worked: str = ""

    @property
    def counted(self) -> tuple[int, int]:
        """Tries that worked, and all of them.

        Raises
        ------
        ImpossibleValue
            They are not told, or not as two whole numbers, the smaller first.
        """
        found = _COUNTED.fullmatch(self.worked.strip())
        if found is None or int(found[2]) == 0 or int(found[1]) > int(found[2]):
            told = f"tells {self.worked!r}" if self.worked else "does not tell how often it worked"
            raise ImpossibleValue(f"the trial {self.name!r} {told}", remedy='write worked = "9 of 10"')
        return int(found[1]), int(found[2])


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing that the analyst should know.

    Attributes
    ----------
    name : str
        Which check found it.
    title : str
        One line.
    severity : {"note", "caution", "fault"}
        How grave it is.
    what : str
        The finding in full.
    parts, nets, claims, readings, situations : tuple of str
        What it is about, by name.
    evidence : str
        What it rests on, such as the numbers compared.
    remedy : str
        What to do about it; empty where nothing is to be done.
    source : str
        Where the limit or rule comes from.
    """

    name: str
    title: str
    severity: Severity
    what: str
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    situations: tuple[str, ...] = ()
    evidence: str = ""
    remedy: str = ""
    source: str = ""
