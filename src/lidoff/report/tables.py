"""Readings, parts and nets as CSV, for spreadsheets."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence

from lidoff.circuit import kind_of
from lidoff.dossier import Analysis, SolvedSituation
from lidoff.quantities import Quantity
from lidoff.report.sections.parts import highest_stresses
from lidoff.report.subject import part_value
from lidoff.report.words import clean, without_traces

__all__ = ["nets_csv", "parts_csv", "readings_csv"]

_FORMULA = re.compile(r"[=@\t\r]|[+\-](?![\w.,]*$)")
"""What a spreadsheet would take for the start of a formula; a plain name or number with a sign is none."""


def readings_csv(analysis: Analysis) -> str:
    """Every reading with its prediction; ``plus_minus`` is the expanded uncertainty (k = 2).

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180, numbers in the unit of their column ``unit``.
    """
    compared = {one.reading: one for one in analysis.comparisons}
    header = (
        "reading", "of", "situation", "instrument", "value", "plus_minus", "unit",
        "predicted", "predicted_plus_minus", "difference_in_u", "fit",
    )  # fmt: skip
    rows: list[Sequence[str]] = []
    for one in analysis.readings:
        comparison = compared.get(one.name)
        prediction = (
            ("", "", "", "")
            if comparison is None
            else (*_numbers(comparison.predicted), _number(comparison.score), comparison.fit)
        )
        told = (one.name, str(one.reading.target), one.reading.situation, one.reading.instrument)
        rows.append(
            (*(_words(text) for text in told), *_numbers(one.quantity), one.quantity.unit, *prediction)
        )
    return _csv(header, rows)


def parts_csv(analysis: Analysis) -> str:
    """Every part with its pins and the load that comes nearest to its limit.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180.
    """
    stresses = highest_stresses(analysis)
    header = (
        "part", "kind", "value", "marking", "package", "does", "pins",
        "rating", "load", "limit", "unit", "share_of_rating", "situation", "rating_is",
    )  # fmt: skip
    rows: list[Sequence[str]] = []
    for part in analysis.circuit.parts:
        pins = " ".join(f"{pin}:{net}" for pin, net in part.pins.items())
        does = part.does or kind_of(part).says
        told = (part.reference, part.kind, part_value(analysis, part), part.marking, part.package, does, pins)
        stress = stresses.get(part.reference)
        load = (
            ("",) * 7
            if stress is None
            else (
                stress.rating,
                _number(stress.load.value),
                _number(stress.limit.value),
                stress.limit.unit,
                _number(stress.share),
                _words(stress.situation),
                "told" if stress.told else "typical",
            )
        )
        rows.append((*(_words(text) for text in told), *load))
    return _csv(header, rows)


def nets_csv(analysis: Analysis) -> str:
    """Every net in every solved situation; ``plus_minus`` is the expanded uncertainty (k = 2).

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180; a net without numbers is one that nothing fixes, or that belongs to no solved situation.
    """
    header = ("net", "pins", "situation", "voltage", "plus_minus", "unit")
    solved = [one for one in analysis.situations if isinstance(one, SolvedSituation)]
    rows: list[Sequence[str]] = []
    for net, pins in analysis.circuit.nets.items():
        told = (_words(net), _words(" ".join(str(pin) for pin in pins)))
        if not solved:
            rows.append((*told, "", "", "", ""))
        for result in solved:
            numbers = _numbers(result.nets[net]) if net in result.nets else ("", "")
            rows.append((*told, _words(result.name), *numbers, "V"))
    return _csv(header, rows)


def _numbers(quantity: Quantity) -> tuple[str, str]:
    told = without_traces(quantity)
    return _number(told.value), _number(told.expanded)


def _number(number: float) -> str:
    return f"{number:.9g}"


def _words(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    text = clean(text)
    return f"'{text}" if _FORMULA.match(text) else text


def _csv(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    return file.getvalue()
