"""A meaning in one plain sentence."""

from __future__ import annotations

from lidoff.markings.meaning import Fact, Limits, Meaning
from lidoff.quantities import Quantity, format_quantity

__all__ = ["describe"]

_LARGE_FARADS = 1e-3  # electrolytics are printed and sold in microfarads, 2200 µF and not 2.2 mF


def describe(meaning: Meaning) -> str:
    """A meaning in one plain sentence.

    Parameters
    ----------
    meaning : Meaning
        As `decode` returns it.

    Returns
    -------
    str
        What it is, its value and limits, how it was read, by which source, and what speaks against it.

    Examples
    --------
    >>> from lidoff.markings import decode
    >>> describe(decode("68X", what="resistor")[0]).partition(", from")[0]
    'Resistor, 49.9 Ω, ±1 % (49.4 Ω to 50.4 Ω)'
    """
    head = [meaning.what[:1].upper() + meaning.what[1:]]
    if meaning.says:
        head.append(meaning.says)
    if meaning.value is not None:
        head.append(_nominal(meaning.value))
        if meaning.limits is not None:
            head.append(_limits(meaning.limits, meaning.value.unit))
    clauses = [f"{', '.join(head)}, from the {meaning.title} ({meaning.how})"]
    clauses += [_fact(fact) for fact in meaning.facts]
    if meaning.series:
        clauses.append(f"in the {meaning.series} series")
    clauses += [f"doubt: {doubt}" for doubt in meaning.doubts]
    source = "" if meaning.source == "from memory" else meaning.source
    clauses.append(
        ", ".join(filter(None, (f"source: {source}" if source else "", "from memory" * meaning.from_memory)))
    )
    return "; ".join(filter(None, clauses)) + "."


def _nominal(quantity: Quantity) -> str:
    """Nominal value with all the digits it has, up to seven: 32.768 kHz is not 32.77 kHz."""
    if quantity.unit == "F" and quantity.value >= _LARGE_FARADS:
        return format_quantity(quantity, shown_in="µF")
    figures = len(f"{abs(quantity.value):.6e}".partition("e")[0].replace(".", "").rstrip("0"))
    return format_quantity(quantity, digits=figures) if figures > 4 else format_quantity(quantity)


def _limits(limits: Limits, unit: str) -> str:
    low, high = (_nominal(Quantity(float(f"{end:.4g}"), unit)) for end in (limits.low, limits.high))
    return f"{limits.printed} ({low} to {high})"


def _fact(fact: Fact) -> str:
    value = format_quantity(fact.value) if fact.value is not None else ""
    usual = "usually " if fact.typical else ""
    return f"{fact.name}: {usual}{' '.join(filter(None, (value, fact.text)))}"
