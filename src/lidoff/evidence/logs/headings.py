"""Headings of a log's columns → name and unit."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lidoff.quantities import find_spelling, is_spelling

__all__ = ["Heading", "bare_name", "heading_of", "is_unit"]

_BRACKETS = re.compile(r"^(?P<name>.*?)\s*[\[(<{](?P<unit>[^\[\](){}<>]*)[\])>}]\s*$")
_PARTED = re.compile(
    r"^(?P<name>.+?)\s*(?:/|,|;|\s|_|\.|:)\s*(?P<unit>[^\s,;_/\[\]()]+(?:/[^\s,;_/\[\]()]+)?)$"
)
_NUMBERED = re.compile(
    r"^(?:ch|chan|channel|kanal|input|probe|phase|line|port|cell|sensor|#)\.?$", re.IGNORECASE
)
# "Power in" is no length: behind a mere space or stroke only what meters log is taken for a unit.
_LOGGED = frozenset(
    {
        "voltage", "current", "power", "apparent power", "energy", "charge", "resistance", "frequency", "time", "ratio",
        "temperature on the Celsius scale", "capacitance", "level", "illuminance", "pressure", "speed of rotation",
    }
)  # fmt: skip
_WARM = re.compile(r"temp|^t\b|thermo", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """Name of a column and its unit as written; the unit is empty where the heading tells none."""

    name: str
    unit: str


def is_unit(text: str, *, warm: bool = False) -> bool:
    """Whether a text is a unit as lidoff knows it.

    Parameters
    ----------
    text : str
        What may be one.
    warm : bool, optional
        Whether a temperature is looked for, so that a lone C is Celsius.

    Returns
    -------
    bool
        True only for exact spellings, capitals included; u stands for µ, which many loggers cannot write.
    """
    if not text or len(text) > 20:
        return False
    return (warm and text in ("C", "F")) or is_spelling(_with_micro(text))


def _with_micro(text: str) -> str:
    """Unit with µ for a leading u, where that makes it one."""
    micro = f"µ{text[1:]}"
    return micro if text[:1] == "u" and not is_spelling(text) and is_spelling(micro) else text


def bare_name(text: str) -> str:
    """Heading without what stands in brackets behind it, whether that is a unit or not."""
    found = _BRACKETS.match(text)
    return found["name"].strip(" _,;:/.") if found else text


def heading_of(text: str) -> Heading:
    """Name and unit of a heading: ``U [mV]``, ``Current(A)``, ``Voltage / V``, ``I_mA``, ``mAh``.

    Parameters
    ----------
    text : str
        The heading as written.

    Returns
    -------
    Heading
        The unit as `lidoff.quantities` spells it, where there is one.
    """
    text = " ".join(text.strip().strip('"').split())
    for pattern in (_BRACKETS, _PARTED):
        found = pattern.match(text)
        if found is None:
            continue
        name, unit = found["name"].strip(" _,;:/."), _with_micro(found["unit"].strip(" ."))
        warm = bool(_WARM.search(name))
        sure = pattern is _BRACKETS
        # "Channel A" names a channel, and "Cell C" a cell; only brackets make a unit of such a letter.
        if is_unit(unit, warm=warm) and (sure or (not _NUMBERED.match(name) and _is_logged(unit, warm))):
            return Heading(name or unit, f"°{unit}" if warm and unit in ("C", "F") else unit)
    if is_unit(text):
        return Heading(text, _with_micro(text))
    return Heading(text, "")


def _is_logged(unit: str, warm: bool) -> bool:
    return warm or find_spelling(unit).unit.dimension in _LOGGED
