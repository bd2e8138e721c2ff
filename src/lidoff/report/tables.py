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

__all__ = [
    "csv_text",
    "currents_csv",
    "nets_csv",
    "parts_csv",
    "readings_csv",
    "told_number",
    "told_numbers",
    "told_words",
]

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
            else (*told_numbers(comparison.predicted), told_number(comparison.score), comparison.fit)
        )
        told = (one.name, str(one.reading.target), one.reading.situation, one.reading.instrument)
        rows.append(
            (
                *(told_words(text) for text in told),
                *told_numbers(one.quantity),
                one.quantity.unit,
                *prediction,
            )
        )
    return csv_text(header, rows)


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
                told_number(stress.load.value),
                told_number(stress.limit.value),
                stress.limit.unit,
                told_number(stress.share),
                told_words(stress.situation),
                "told" if stress.told else "typical",
            )
        )
        rows.append((*(told_words(text) for text in told), *load))
    return csv_text(header, rows)


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
        told = (told_words(net), told_words(" ".join(str(pin) for pin in pins)))
        if not solved:
            rows.append((*told, "", "", "", ""))
        for result in solved:
            numbers = told_numbers(result.nets[net]) if net in result.nets else ("", "")
            rows.append((*told, told_words(result.name), *numbers, "V"))
    return csv_text(header, rows)


def currents_csv(analysis: Analysis) -> str:
    """Every part in every solved situation; ``plus_minus`` is the expanded uncertainty (k = 2) of the number before it.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180, in V, A and W; a part without a main path has neither voltage nor current.
    """
    header = (
        "part", "situation", "voltage", "voltage_plus_minus", "current", "current_plus_minus", "power", "power_plus_minus",
    )  # fmt: skip
    rows: list[Sequence[str]] = []
    for result in analysis.situations:
        if not isinstance(result, SolvedSituation):
            continue
        for name, state in result.parts.items():
            told = (
                number
                for quantity in (state.voltage, state.current, state.power)
                for number in (("", "") if quantity is None else told_numbers(quantity))
            )
            rows.append((told_words(name), told_words(result.name), *told))
    return csv_text(header, rows)


def told_numbers(quantity: Quantity) -> tuple[str, str]:
    """Value and expanded uncertainty, as a spreadsheet reads them."""
    told = without_traces(quantity)
    return told_number(told.value), told_number(told.expanded)


def told_number(number: float) -> str:
    """Number as a spreadsheet reads it."""
    return f"{number:.9g}"


def told_words(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    text = clean(text)
    return f"'{text}" if _FORMULA.match(text) else text


def csv_text(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Table after RFC 4180."""
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\r\n")
    writer.writerow(header)
    writer.writerows(rows)
    return file.getvalue()
