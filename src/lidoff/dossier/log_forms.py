"""The tables of ``dossier.toml`` that are about logs."""

from __future__ import annotations

from lidoff.dossier.forms import Choice, Field, ListOf, NamedEntries, Table, Text, Value
from lidoff.evidence import TAKES, TIME_HINTS

__all__ = ["LOG", "TAKEN"]

_FILLED = Text(filled=True)

LOG = Table(
    title="a log",
    fields=(
        Field(name="file", form=_FILLED, says='in the folder, such as "logs/discharge.csv"', required=True),
        Field(name="title", form=Text(), says="one line for the reader"),
        Field(
            name="instrument",
            form=Text(),
            says="what wrote it: its accuracy counts for every channel and the clock",
        ),
        Field(
            name="instruments",
            form=NamedEntries(_FILLED),
            says='by channel: another instrument, such as { I = "clamp" }',
        ),
        Field(
            name="units",
            form=NamedEntries(_FILLED),
            says='by channel: unit that the file does not tell, such as { Current = "mA" }',
        ),
        Field(
            name="columns",
            form=ListOf(_FILLED, 1),
            says='headings in place of those in the file, such as ["time [s]", "U [V]"]',
        ),
        Field(
            name="time", form=Choice(TIME_HINTS), says="how times are written, where the file leaves it open"
        ),
        Field(name="every", form=Value(), says="time from row to row, where the file has no time column"),
        Field(name="decimal", form=Choice((".", ",")), says="decimal sign, if not as found"),
        Field(name="separator", form=_FILLED, says="character between columns, if not as found"),
        Field(name="note", form=Text(), says="how it was taken"),
    ),
)
TAKEN = Table(
    title="a reading from a log",
    fields=(
        Field(name="log", form=_FILLED, says="name of the log", required=True),
        Field(name="take", form=Choice(TAKES), says="what is taken", required=True),
        Field(
            name="channels",
            form=ListOf(_FILLED),
            says="a current for charge; a power, or voltage and current, for energy; one for the rest; none for a duration",
        ),
        Field(
            name="starts",
            form=_FILLED,
            says='a time such as "90 s", a level such as "U > 3 V", or "I runs"; the first row if left out',
        ),
        Field(name="ends", form=_FILLED, says='likewise, or "I stops"; the last row if left out'),
    ),
)
