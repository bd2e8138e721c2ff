"""Claims, hazards, findings and sums as CSV, and the netlist as a plain table."""

from __future__ import annotations

from collections.abc import Sequence

from lidoff.dossier import Analysis
from lidoff.quantities import Quantity
from lidoff.report.tables import csv_text, told_number, told_numbers, told_words
from lidoff.report.words import clean, verdict_words

__all__ = ["claims_csv", "findings_csv", "hazards_csv", "netlist_text", "sums_csv"]

WIDE = 100
"""Letters on one line of the plain netlist."""


def claims_csv(analysis: Analysis) -> str:
    """Every claim with its verdict; ``plus_minus`` is the expanded uncertainty (k = 2).

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180; ``low`` and ``high`` are the limits that the true value must lie within for the claim to hold.
    """
    header = (
        "claim", "says", "where", "kind", "printed", "read_as", "found", "plus_minus", "unit", "low", "high",
        "probability_true", "verdict", "sum",
    )  # fmt: skip
    rows: list[Sequence[str]] = []
    for result in analysis.claims:
        claim = result.claim
        limits = tuple("" if limit is None else told_number(limit) for limit in (result.low, result.high))
        probability = result.verdict.probability
        rows.append(
            (
                *_words(claim.name, claim.says, claim.where, claim.kind, result.printed),
                claim.read_as,
                *_maybe(result.found),
                *limits,
                "" if probability is None else told_number(probability),
                verdict_words(result.verdict),
                told_words(result.sum),
            )
        )
    return csv_text(header, rows)


def hazards_csv(analysis: Analysis) -> str:
    """Every check for danger with what came out.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180; outcomes in the words of the report.
    """
    header = (
        "check", "title", "outcome", "severity", "found", "plus_minus", "unit", "limit", "limit_is", "limit_from", "what",
        "parts", "situations", "assumed", "not_checked",
    )  # fmt: skip
    rows = [
        (
            *_words(one.check, one.title, one.outcome, one.severity),
            *_maybe(one.value),
            "" if one.limit is None else told_number(one.limit.value),
            *_words(one.limit_says, one.source, one.what, " ".join(one.parts), " ".join(one.situations)),
            *_words("; ".join(one.assumed), "; ".join(one.not_checked)),
        )
        for one in analysis.hazards
    ]
    return csv_text(header, rows)


def findings_csv(analysis: Analysis) -> str:
    """Every finding, gravest first.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180.
    """
    header = (
        "finding", "severity", "title", "what", "evidence", "remedy", "source", "parts", "nets", "readings",
    )  # fmt: skip
    rows = [
        _words(
            *(one.name, one.severity, one.title, one.what, one.evidence, one.remedy, one.source),
            *(" ".join(names) for names in (one.parts, one.nets, one.readings)),
        )
        for one in analysis.findings
    ]
    return csv_text(header, rows)


def sums_csv(analysis: Analysis) -> str:
    """Every sum of every block; ``plus_minus`` is the expanded uncertainty (k = 2) that the parts' tolerances bring.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        CSV after RFC 4180.
    """
    header = (
        "block", "parts", "what", "situation", "formula", "numbers", "result", "plus_minus", "unit", "source",
    )  # fmt: skip
    rows = [
        (
            *_words(block.kind, " ".join(block.parts), one.says, one.situation, one.formula, one.numbers),
            *_maybe(one.result),
            told_words(one.source),
        )
        for block in analysis.blocks
        for one in block.sums
    ]
    return csv_text(header, rows)


def netlist_text(analysis: Analysis) -> str:
    """Netlist as a plain table: each net with its pins.

    Parameters
    ----------
    analysis : Analysis

    Returns
    -------
    str
        One net a line, longer ones broken between pins; the ground first, then by name.
    """
    circuit = analysis.circuit
    ground = analysis.dossier.ground
    names = sorted(circuit.nets, key=lambda net: (net != ground, net))
    left = max((len(clean(name)) for name in names), default=0) + 2
    lines = []
    for name in names:
        line = f"{clean(name):<{left}}"
        for pin in circuit.nets[name]:
            said = f"{clean(pin.reference)}.{clean(pin.pin)}"
            if len(line) + len(said) > WIDE and line.strip():
                lines.append(line.rstrip())
                line = " " * left
            line += f"{said} "
        lines.append(line.rstrip())
    return "\n".join(lines) + ("\n" if lines else "")


def _maybe(quantity: Quantity | None) -> tuple[str, str, str]:
    return ("", "", "") if quantity is None else (*told_numbers(quantity), quantity.unit)


def _words(*texts: str) -> tuple[str, ...]:
    return tuple(map(told_words, texts))
