"""The analyst's own words: Markdown → frozen pieces that every page language sets from data, nothing in them run or fetched.

Known are paragraphs, headings, lists, quotes, code, rules, emphasis and links. HTML is shown as it is written, pictures by
their description alone, and links lead only to web pages, mail addresses and places in the report.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from markdown_it.token import Token

__all__ = ["Prose", "ProsePiece", "ProseRun", "prose_of"]

_LINK = re.compile(r"(?:https?://|mailto:|#)[^\s\"'<>`]+")
_OPENS = {"paragraph_open": "paragraph", "heading_open": "heading"}


@dataclass(frozen=True, slots=True, kw_only=True)
class ProseRun:
    """A stretch of the analyst's own text of one look.

    Attributes
    ----------
    text : str
        A line break in it is meant.
    strong, emphasis, code : bool
    link : str
        Where it leads; empty for nowhere.
    """

    text: str
    strong: bool = False
    emphasis: bool = False
    code: bool = False
    link: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProsePiece:
    """A paragraph, heading, entry of a list, quote, or block of code of the analyst's own text.

    Attributes
    ----------
    kind : {"paragraph", "heading", "entry", "quote", "code", "rule"}
    runs : tuple of ProseRun
    label : str
        Mark before an entry; empty where it goes on with the last one.
    level : int
        Of a heading from one, or how deep an entry lies from one.
    """

    kind: Literal["paragraph", "heading", "entry", "quote", "code", "rule"]
    runs: tuple[ProseRun, ...] = ()
    label: str = ""
    level: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Prose:
    """The analyst's own words.

    Attributes
    ----------
    pieces : tuple of ProsePiece
    """

    pieces: tuple[ProsePiece, ...]


def prose_of(markdown: str) -> Prose:
    """Pieces of a Markdown text.

    Parameters
    ----------
    markdown : str
        As of CommonMark.

    Returns
    -------
    Prose
        Without any markup of its own.
    """
    from markdown_it import MarkdownIt

    tokens = MarkdownIt("commonmark", {"html": False}).parse(markdown)
    pieces: list[ProsePiece] = []
    lists: list[tuple[bool, int]] = []
    quoted = 0
    kind, level = "paragraph", 0
    fresh = False  # whether the next text opens an entry of a list
    for token in tokens:
        if token.type in ("bullet_list_open", "ordered_list_open"):
            start = int(token.attrs.get("start", 1)) if token.type.startswith("ordered") else 0
            lists.append((token.type.startswith("ordered"), start - 1))
        elif token.type in ("bullet_list_close", "ordered_list_close"):
            lists.pop()
        elif token.type == "list_item_open":
            lists[-1] = (lists[-1][0], lists[-1][1] + 1)
            fresh = True
        elif token.type in ("blockquote_open", "blockquote_close"):
            quoted += 1 if token.type.endswith("open") else -1
        elif token.type in _OPENS:
            kind, level = _OPENS[token.type], int(token.tag[1:]) if token.type == "heading_open" else 0
        elif token.type in ("fence", "code_block"):
            pieces.append(ProsePiece(kind="code", runs=(ProseRun(text=token.content.rstrip("\n")),)))
        elif token.type == "hr":
            pieces.append(ProsePiece(kind="rule"))
        elif token.type == "inline":
            within = lists[-1] if lists else None
            label = "" if within is None or not fresh else f"{within[1]}." if within[0] else "•"
            told = "quote" if quoted else "entry" if within is not None else kind
            runs = _runs(token.children or ())
            pieces.append(
                ProsePiece(kind=told, runs=runs, label=label, level=len(lists) if lists else level)  # type: ignore[arg-type]
            )
            fresh = False
    return Prose(pieces=tuple(pieces))


def _runs(tokens: Sequence[Token]) -> tuple[ProseRun, ...]:
    """Stretches of text of one look."""
    runs: list[ProseRun] = []
    strong = emphasis = 0
    link = ""
    for token in tokens:
        if token.type in ("strong_open", "strong_close"):
            strong += 1 if token.type.endswith("open") else -1
        elif token.type in ("em_open", "em_close"):
            emphasis += 1 if token.type.endswith("open") else -1
        elif token.type == "link_open":
            told = str(token.attrs.get("href", ""))
            link = told if _LINK.fullmatch(told) else ""
        elif token.type == "link_close":
            link = ""
        else:
            text = " " if token.type == "softbreak" else "\n" if token.type == "hardbreak" else token.content
            if text:
                runs.append(
                    ProseRun(
                        text=text,
                        strong=strong > 0,
                        emphasis=emphasis > 0,
                        code=token.type == "code_inline",
                        link=link,
                    )
                )
    return tuple(runs)
