"""The words in which a report speaks of verdicts, numbers and names."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from lidoff.evidence import OVER_RANGE, BorneOut, Comparison, Measured, NotBorneOut, Noted, Verdict
from lidoff.quantities import Quantity, format_quantity
from lidoff.report.model import Tone

__all__ = [
    "VANISHING",
    "amount",
    "anchor",
    "clean",
    "counted",
    "difference_words",
    "heading",
    "joined",
    "listed",
    "loading",
    "odds",
    "percent",
    "plain_name",
    "predicted_words",
    "read_words",
    "score",
    "sentence",
    "typeset",
    "verdict_tone",
    "verdict_words",
    "without_traces",
]

_UNSEEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff\u202a-\u202e\u2066-\u2069]")
_BEFORE_UNIT = re.compile(
    r"(?<=\d) (?=(?:%|u|s|min|h|mAh|[kmµnpMG]?(?:V|A|W|Ω|F|H|Hz|Wh|Ah|Pa|lm|lx|m|g|VA|C)|°C|K)(?:[\s.,;:)²³/]|$))"
)
VANISHING: Mapping[str, float] = MappingProxyType({"V": 1e-10, "A": 1e-10, "W": 1e-10})
"""Sizes told as 0, by unit: no bench meter sees them, and the leakage that the solver assumes is of that size."""
K_IS_2 = "k\N{NO-BREAK SPACE}=\N{NO-BREAK SPACE}2"
_NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)


def clean(text: str) -> str:
    r"""Text without the characters that no page shows: controls, halves of pairs, and marks that turn the reading direction.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The same otherwise.

    Examples
    --------
    >>> clean("R1\x00\u202e")
    'R1'
    """
    return _UNSEEN.sub("", text)


def typeset(text: str) -> str:
    """Text as a page shows it: cleaned, with numbers kept on one line with their units and a ± with its number.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        With no-break spaces (U+00A0) where a line must not end.

    Examples
    --------
    >>> typeset("5.01 V ± 0.02 V").replace("\N{NO-BREAK SPACE}", "~")
    '5.01~V ±~0.02~V'
    """
    kept = _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", clean(text))
    return kept.replace("± ", "±\N{NO-BREAK SPACE}").replace("k = 2", K_IS_2)


def heading(text: str) -> str:
    """Text with a capital at its start."""
    return text[:1].upper() + text[1:]


def verdict_words(verdict: Verdict) -> str:
    """Words of a verdict, exactly as they are printed everywhere."""
    if isinstance(verdict, BorneOut):
        return "borne out"
    if isinstance(verdict, NotBorneOut):
        return "not borne out"
    if isinstance(verdict, Noted):
        return "noted, not judged"
    return "cannot tell from these readings"


def verdict_tone(verdict: Verdict) -> Tone:
    """Tone of a verdict."""
    if isinstance(verdict, BorneOut):
        return "borne-out"
    if isinstance(verdict, Noted):
        return "note"
    return "not-borne-out" if isinstance(verdict, NotBorneOut) else "open"


def percent(share: float) -> str:
    """Share as a percentage, with a digit more near either end; never a bare 0 or 100 % that is not meant.

    Parameters
    ----------
    share : float
        From 0 to 1.

    Returns
    -------
    str
        Such as "62 %", "more than 99.9 %".

    Examples
    --------
    >>> percent(0.617), percent(0.9997), percent(0.0004), percent(0.031)
    ('62 %', 'more than 99.9 %', 'less than 0.1 %', '3.1 %')
    """
    if share < 0.001:
        return "less than 0.1 %"
    if share > 0.999:
        return "more than 99.9 %"
    return f"{100 * share:.1f} %" if share < 0.0995 or share > 0.9005 else f"{100 * share:.0f} %"


def loading(share: float) -> str:
    """Load as a share of a rating.

    Examples
    --------
    >>> loading(1.234), loading(0.0321), loading(4e-5)
    ('123 %', '3.2 %', 'under 0.1 %')
    """
    if share == float("inf"):
        return "any number of times"
    if share < 0.0005:
        return "under 0.1 %"
    return f"{100 * share:.1f} %" if share < 0.0995 else f"{100 * share:.0f} %"


def odds(verdict: Verdict) -> str:
    """Probability of the claim, in words."""
    if isinstance(verdict, Noted):
        return ""
    if verdict.probability is None:
        return "no probability can be given"
    return f"probability that the claim is true: {percent(verdict.probability)}"


def amount(quantity: Quantity | None, *, shown_in: str = "", with_uncertainty: bool = True) -> str:
    """Quantity with the digits it deserves; a dash where there is none.

    Parameters
    ----------
    quantity : Quantity or None
        What to write.
    shown_in : str, optional
        Unit to write it in.
    with_uncertainty : bool, optional
        Whether the ± part is written.

    Returns
    -------
    str
        What is smaller than any instrument sees is written as 0.

    Examples
    --------
    >>> amount(Quantity(4.4, "V", 0.01)), amount(None), amount(Quantity(3e-17, "A", 1e-18))
    ('4.40 V ± 0.02 V', '–', '0 A')
    """
    if quantity is None:
        return "–"
    quantity = without_traces(quantity)
    return format_quantity(quantity, shown_in=shown_in or None, with_uncertainty=with_uncertainty)


def without_traces(quantity: Quantity) -> Quantity:
    """Quantity, or 0 where it is smaller than anything that `VANISHING` lets through."""
    size = abs(quantity.value) + quantity.expanded
    return Quantity(0.0, quantity.unit) if size < VANISHING.get(quantity.unit, 0.0) else quantity


def read_words(measured: Measured) -> str:
    """What a reading showed: a quantity, or that it lies beyond the end of a range."""
    if measured.over_range:
        return f"{OVER_RANGE}, more than {amount(measured.quantity)}"
    return amount(measured.quantity)


def predicted_words(comparison: Comparison) -> str:
    """What a reading should show."""
    return OVER_RANGE if comparison.over_range else amount(comparison.predicted)


def score(comparison: Comparison) -> str:
    """Difference between prediction and reading, in standard uncertainties of that difference.

    Returns
    -------
    str
        Such as "+0.6 u".
    """
    value = comparison.score
    if value in (float("inf"), float("-inf")):
        return "beyond any u"
    text = f"{abs(value):.1f}" if abs(value) < 100 else f"{abs(value):.0f}"
    sign = "" if float(text) == 0.0 else "+" if value > 0 else "−"
    return f"{sign}{text} u"


def difference_words(comparison: Comparison) -> str:
    """Comparison of a reading with its prediction, in a few words."""
    if comparison.over_range or comparison.measured.over_range:
        return comparison.fit
    size = abs(comparison.difference)
    unit = comparison.measured.quantity.unit
    if size <= VANISHING.get(unit, 0.0):
        return "agrees exactly"
    apart = format_quantity(Quantity(size, "K" if unit == "°C" else unit), digits=2)
    way = "more" if comparison.difference > 0 else "less"
    if comparison.fit == "agrees":
        return f"agrees: predicted {apart} {way}"
    if comparison.fit == "strained":
        return f"strained: predicted {apart} {way}"
    return f"misfit: predicted {apart} {way}"


def joined(texts: Sequence[str], last: str = "and") -> str:
    """Texts as one list in a sentence.

    Examples
    --------
    >>> joined(["R1", "R2", "R3"])
    'R1, R2 and R3'
    """
    if len(texts) < 2:
        return "".join(texts)
    return f"{', '.join(texts[:-1])} {last} {texts[-1]}"


def listed(texts: Sequence[str], most: int) -> str:
    """Texts as one list in a sentence, cut after the first few."""
    if len(texts) <= most:
        return joined(texts)
    return f"{', '.join(texts[:most])} and {counted(len(texts) - most, 'more', 'more')}"


def counted(number: int, one: str, several: str = "") -> str:
    """Number with its noun, in words up to twelve.

    Examples
    --------
    >>> counted(1, "claim"), counted(3, "claim"), counted(0, "reading")
    ('one claim', 'three claims', 'no readings')
    """
    word = _NUMBERS[number] if number < len(_NUMBERS) else str(number)
    noun = one if number == 1 else several or f"{one}s"
    return f"{word} {noun}"


def sentence(text: str) -> str:
    """Text with a capital at its start and a full stop at its end.

    Examples
    --------
    >>> sentence("no reading of the time")
    'No reading of the time.'
    """
    text = text.strip()
    if not text:
        return ""
    return text[0].upper() + text[1:] + ("" if text[-1] in ".!?…" else ".")


def plain_name(name: str) -> str:
    """Name of the dossier's format as a person reads it."""
    return name.replace("_", " ")


def anchor(sort: str, name: str) -> str:
    """Anchor within a report, of letters, digits and hyphens that every page language takes.

    Parameters
    ----------
    sort : str
        Such as ``part`` or ``net``.
    name : str
        Any name; different names give different anchors.

    Returns
    -------
    str
        Stable.

    Examples
    --------
    >>> anchor("part", "R3"), anchor("net", "usb 5V")
    ('at-part-R3', 'at-net-usb_20_5V')
    """
    return f"at-{sort}-" + re.sub(r"[^A-Za-z0-9-]", lambda found: f"_{ord(found.group()):x}_", name)
