"""The pages of a report as frozen data: sections made of blocks, free of any page language.

Every text is plain: a writer escapes it for its own language. Anchors and targets are names within the report.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from lidoff.report.labels import Labels
from lidoff.report.picture import Picture
from lidoff.report.prose import Prose
from lidoff.report.worked import Working, Workings

__all__ = [
    "Block",
    "Cell",
    "Column",
    "Facts",
    "Figure",
    "Item",
    "Items",
    "Notice",
    "Paragraph",
    "Picture",
    "ReportPages",
    "Row",
    "Section",
    "Subheading",
    "Table",
    "Tone",
    "VerdictRow",
    "Verdicts",
    "Working",
    "Workings",
]

Tone = Literal["", "borne-out", "not-borne-out", "open", "fault", "caution", "note"]
"""What a thing means to the reader; each writer gives it its own mark and colour, and never colour alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Paragraph:
    """One paragraph of running text.

    Attributes
    ----------
    text : str
        Plain.
    style : {"", "lead", "quiet"}
        ``lead`` opens the report, ``quiet`` is an aside.
    """

    text: str
    style: Literal["", "lead", "quiet"] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Subheading:
    """A heading within a section.

    Attributes
    ----------
    title : str
    anchor : str
        Name that links lead to; empty for none.
    """

    title: str
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice:
    """A boxed word to the reader, such as a caution.

    Attributes
    ----------
    title, text : str
    tone : Tone
    """

    title: str
    text: str
    tone: Tone = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Names with what is known under them, such as maker and model.

    Attributes
    ----------
    pairs : tuple of (str, str)
    """

    pairs: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One entry of a list.

    Attributes
    ----------
    title : str
        One line; empty where the lines speak for themselves.
    lines : tuple of str
        One paragraph each.
    tone : Tone
    label : str
        The tone in a word, such as "caution"; empty for none.
    links : tuple of (str, str)
        (text, target) of what it is about.
    anchor : str
        Name that links lead to; empty for none.
    """

    title: str = ""
    lines: tuple[str, ...] = ()
    tone: Tone = ""
    label: str = ""
    links: tuple[tuple[str, str], ...] = ()
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Items:
    """A list.

    Attributes
    ----------
    entries : tuple of Item
    """

    entries: tuple[Item, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VerdictRow:
    """One claim with its verdict, to be read at a glance.

    Attributes
    ----------
    says : str
        The words as printed.
    where : str
        Where they are printed.
    verdict : str
        The verdict's words.
    tone : Tone
    sum : str
        The sum written out.
    odds : str
        The probability, in words.
    telling : str
        For an open verdict: which reading would tell.
    target : str
        Anchor of the claim's full entry.
    """

    says: str
    where: str
    verdict: str
    tone: Tone
    sum: str
    odds: str
    telling: str = ""
    target: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdicts:
    """All claims at a glance.

    Attributes
    ----------
    rows : tuple of VerdictRow
    """

    rows: tuple[VerdictRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    title : str
    numbers : bool
        Whether it holds numbers, which are kept on one line.
    share : float
        Width on paper in relation to the other columns.
    """

    title: str
    numbers: bool = False
    share: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """One cell of a table.

    Attributes
    ----------
    text : str
    note : str
        A quieter second line.
    target : str
        Anchor that the text leads to; empty for none.
    tone : Tone
    part, net : str
        The part or net that it is about, so that a page can light it up in the schematic.
    again : bool
        Whether it says what the cell above says, so that it is there for listeners alone.
    """

    text: str
    note: str = ""
    target: str = ""
    tone: Tone = ""
    part: str = ""
    net: str = ""
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a table; its first cell is its heading.

    Attributes
    ----------
    cells : tuple of Cell
    anchor : str
        Name that links lead to; empty for none.
    """

    cells: tuple[Cell, ...]
    anchor: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table with a caption.

    Attributes
    ----------
    caption : str
    columns : tuple of Column
    rows : tuple of Row
        Each with as many cells as there are columns.
    folded : str
        Words under which a page folds it away; paper leaves such a table out. Empty to show it.
    number : int
        Its number within the report, counted when the report is put together.
    """

    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    folded: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A picture with its caption.

    Attributes
    ----------
    name : str
        Unique within the report.
    caption : str
    alt : str
        What the picture shows, for those who do not see it.
    picture : Picture
    folded : bool
        Whether a page may keep it folded away, and paper may leave it out, since a table beside it holds its numbers.
    number : int
        Its number within the report, counted when the report is put together.
    """

    name: str
    caption: str
    alt: str
    picture: Picture
    folded: bool = False
    number: int = 0


Block = Paragraph | Subheading | Notice | Facts | Items | Verdicts | Table | Figure | Prose | Workings


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One section of a report.

    Attributes
    ----------
    name : str
        Anchor, unique within the report.
    title : str
    blocks : tuple of Block
    """

    name: str
    title: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPages:
    """A whole report.

    Attributes
    ----------
    title : str
        Of the report.
    device : str
        One line on what was taken apart.
    banner : str
        Said before all else, such as that the device is invented; empty for nothing.
    facts : tuple of (str, str)
        About the device and the report.
    sections : tuple of Section
    author, licence, printed_date : str
        As in the dossier.
    dated : date or None
        The printed date, where it is one that a file can carry.
    version : str
        Version of lidoff that put it together.
    language : str
        Of lidoff's own words, as web pages write it.
    labels : Labels
        The words round the chapters.
    """

    title: str
    device: str = ""
    banner: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    sections: tuple[Section, ...] = field(default=())
    author: str = ""
    licence: str = ""
    printed_date: str = ""
    dated: date | None = None
    version: str = ""
    language: str = "en"
    labels: Labels = field(default_factory=Labels)
