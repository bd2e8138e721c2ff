"""What is asked of a live meter, and what its answer means, in the words of SCPI.

Only questions are sent: what switches an output or sets a level is refused. A ``MEASure`` question does set the meter up
for what it measures, and lets it choose its range.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from types import MappingProxyType

from lidoff.errors import ImpossibleValue, UnknownName, nearest_name
from lidoff.evidence import MEASURES
from lidoff.quantities import find_spelling, parse_quantity, unit_named

__all__ = ["QUESTIONS", "Answer", "Ask", "answer_of", "ask_from", "level_from"]

QUESTIONS: Mapping[str, str] = MappingProxyType(
    {
        "voltage dc": "MEAS:VOLT:DC?",
        "voltage ac": "MEAS:VOLT:AC?",
        "current dc": "MEAS:CURR:DC?",
        "current ac": "MEAS:CURR:AC?",
        "power": "MEAS:POW:DC?",
        "power ac": "MEAS:POW:AC?",
        "resistance": "MEAS:RES?",
        "frequency": "MEAS:FREQ?",
        "temperature": "MEAS:TEMP?",
    }
)
"""What a meter can measure → the question of SCPI-99, volume 2, chapter 3 (from memory)."""
INFINITE = Decimal("9.9e37")
NO_NUMBER = Decimal("9.91e37")
"""Beyond the range, and no number: SCPI-99, volume 1, 7.2.1.4 and 7.2.1.5 (from memory)."""
FINEST = -60
"""Least power of ten that a digit may stand for: no meter sends it, and written out it could fill the memory."""
LONGEST = 200
"""Characters of a question."""
_OWN = re.compile(r"(?P<name>[^=\[\]]+?)\s*(?:\[(?P<unit>[^\]]*)\])?\s*=\s*(?P<question>.+)", re.DOTALL)
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """One column of a record, and the question that fills it.

    Attributes
    ----------
    name : str
        Heading without its unit.
    unit : str
        As it is to stand in the heading; empty where it is not known.
    question : str
        What is sent.
    """

    name: str
    unit: str
    question: str

    @property
    def heading(self) -> str:
        """Heading of the column."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a meter said.

    Attributes
    ----------
    number : Decimal or None
        With the digits that were sent; None where there is none.
    cell : str
        As it stands in the record: the number, ``OL`` beyond the range, or empty.
    """

    number: Decimal | None
    cell: str


def ask_from(text: str) -> Ask:
    """What is to be asked, from a person's words.

    Parameters
    ----------
    text : str
        One of `QUESTIONS`, such as ``voltage dc``, with a name before it if wanted (``cell = voltage dc``); or a name with
        its unit and a question in the meter's own words, such as ``U [V] = FETCh?``.

    Returns
    -------
    Ask
        With the usual letter as its name where none was given.

    Raises
    ------
    UnknownName, ImpossibleValue
        The words are none that can be asked, or would do more than ask.

    Examples
    --------
    >>> ask_from("voltage dc").question, ask_from("cell = voltage dc").heading
    ('MEAS:VOLT:DC?', 'cell [V]')
    >>> ask_from("I [mA] = FETC?")
    Ask(name='I', unit='mA', question='FETC?')
    """
    words = text.strip()
    own = _OWN.fullmatch(words)
    if own is None:
        return Ask(name=_LETTERS.get(_known(words), words), unit=MEASURES[words], question=QUESTIONS[words])
    if any(sign in own["name"] + (own["unit"] or "") for sign in ',;"\n\r\t'):
        raise ImpossibleValue(
            f"{own['name']!r} cannot head a column",
            remedy="leave commas, semicolons and quotes out of the name",
        )
    question = own["question"].strip()
    if question in QUESTIONS:
        return Ask(name=own["name"], unit=own["unit"] or MEASURES[question], question=QUESTIONS[question])
    _refuse_all_but_questions(question)
    unit = (own["unit"] or "").strip()
    if unit:
        find_spelling(unit)
    return Ask(name=own["name"].strip(), unit=unit, question=question)


def level_from(text: str, asks: Sequence[Ask]) -> tuple[str, bool, float]:
    """Level that ends a record, from a person's words.

    Parameters
    ----------
    text : str
        Column, side and level, such as ``I < 10 mA``.
    asks : sequence of Ask
        Columns of the record.

    Returns
    -------
    tuple of (str, bool, float)
        Column, whether it must lie below, and the level in the unit that the meter answers in.

    Raises
    ------
    ImpossibleValue, UnknownName
        It is no level, or there is no such column.

    Examples
    --------
    >>> level_from("I < 10 mA", [ask_from("current dc")])
    ('I', True, 0.01)
    """
    found = re.fullmatch(r"\s*(.+?)\s*([<>])\s*(.+)", text)
    if found is None:
        raise ImpossibleValue(f"{text!r} is no level", remedy='write one such as "I < 10 mA"')
    ask = next((one for one in asks if one.name == found[1]), None)
    if ask is None:
        raise UnknownName(
            f"no column is called {found[1]!r}", name=found[1], known=[one.name for one in asks]
        )
    below = found[2] == "<"
    if not ask.unit:
        return found[1], below, parse_quantity(found[3], unit="1").value
    return found[1], below, parse_quantity(found[3], unit=unit_named(ask.unit).symbol).value_in(ask.unit)


_LETTERS = {
    "voltage dc": "U",
    "voltage ac": "U ac",
    "current dc": "I",
    "current ac": "I ac",
    "power": "P",
    "power ac": "P ac",
    "resistance": "R",
    "frequency": "f",
    "temperature": "T",
}


def _known(words: str) -> str:
    if words not in QUESTIONS:
        raise UnknownName(
            f"no meter is asked for {words!r}",
            name=words,
            remedy=_what_can_be_asked(words),
        )
    return words


def _what_can_be_asked(words: str) -> str:
    near = nearest_name(words, QUESTIONS)
    return (
        f"{f'did you mean {near!r}? ' if near else ''}name one of {', '.join(QUESTIONS)}; or the meter's own question, such as "
        '"U [V] = FETC?"'
    )


def _refuse_all_but_questions(question: str) -> None:
    """Refuse what would switch or set something, or is no SCPI at all."""
    header = question.split(maxsplit=1)[0]
    plain = question.isascii() and question.isprintable() and len(question) <= LONGEST
    if not plain or ";" in question or not header.endswith("?"):
        raise ImpossibleValue(
            f"{question!r} is not one question",
            remedy="send one question, which ends with ?, such as FETC?; nothing is switched or set by lidoff",
        )


def _smallest_digit(number: Decimal) -> int:
    """Power of ten that the last digit stands for."""
    exponent = number.as_tuple().exponent
    assert isinstance(exponent, int)  # what is no number was passed over before
    return exponent


def answer_of(text: str) -> Answer:
    """What an answer means.

    Parameters
    ----------
    text : str
        As it came; of several numbers the first counts, and a unit behind it is passed over.

    Returns
    -------
    Answer
        In plain digits, as many as were sent.

    Examples
    --------
    >>> answer_of("+4.98760E+00").cell, answer_of("1.50 V").cell, answer_of("9.90000000E+37").cell
    ('4.98760', '1.50', 'OL')
    """
    found = _NUMBER.match(text.strip(" \t\r\n"))
    behind = "" if found is None else found.string[found.end() : found.end() + 1]
    # A digit that the line garbled would leave a shorter number.
    if found is None or not behind.isascii() or not (behind.isprintable() or behind.isspace()):
        return Answer(number=None, cell="")
    try:
        number = Decimal(found[0])
    except InvalidOperation:
        return Answer(number=None, cell="")
    size = number.copy_abs()  # abs() would round, and fail on some
    if size == INFINITE:
        return Answer(number=None, cell="OL")
    if size >= NO_NUMBER or _smallest_digit(number) < FINEST:
        return Answer(number=None, cell="")
    return Answer(number=number, cell=f"{number:f}")
