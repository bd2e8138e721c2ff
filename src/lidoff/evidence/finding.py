"""Trials, and findings: what the analyst should know, with its evidence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["SEVERITIES", "Finding", "Severity", "Trial"]

Severity = Literal["note", "caution", "fault"]
SEVERITIES: tuple[Severity, ...] = ("fault", "caution", "note")
"""Gravest first."""


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
    """

    name: str
    what: str
    seen: str
    situation: str = ""
    duration: str = ""


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
