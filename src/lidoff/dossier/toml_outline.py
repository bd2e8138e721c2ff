"""Where every header, key and value stands in a TOML text, so that one of them can be changed and all else stays.

The text has been accepted by the standard reader before; this walk only notes places.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field

__all__ = ["Block", "Pair", "Spot", "outline_of"]

Path = tuple[str | int, ...]

_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_REST = re.compile(r"[^\n]*\n?")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG_BASIC = re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL)
_SCALAR = re.compile(r"[^,\]}\n#]*[^,\]}\n#\s]")


@dataclass(slots=True, kw_only=True)
class Spot:
    """One value: its first and last place, and what stands inside.

    Attributes
    ----------
    start, end : int
        Characters from the first of the value to past its last.
    kind : str
        ``scalar``, ``array`` or ``table`` (one between braces).
    pairs : list of Pair
        Of a table.
    entries : list of Spot
        Of an array.
    """

    start: int
    end: int = 0
    kind: str = "scalar"
    pairs: list[Pair] = field(default_factory=list)
    entries: list[Spot] = field(default_factory=list)


@dataclass(slots=True, kw_only=True)
class Pair:
    """One key with its value.

    Attributes
    ----------
    keys : tuple of str
        Several where the key is dotted.
    places : list of tuple of int
        First and past-last character of each key as written.
    value : Spot
    start, end : int
        From the beginning of its first line to the beginning of the line after it; in braces from its key to past
        its value.
    """

    keys: tuple[str, ...]
    places: list[tuple[int, int]]
    value: Spot
    start: int
    end: int


@dataclass(slots=True, kw_only=True)
class Block:
    """What stands under one header, or before the first.

    Attributes
    ----------
    path : tuple of str or int
        The header's keys, with the position for each list of tables on the way.
    places : list of tuple of int
        First and past-last character of each key of the header; a position has the place of its list's key.
    in_list : bool
        Whether its header stands in double brackets.
    start : int
        Beginning of the comment lines that belong to it, else of the header's line.
    body : int
        Beginning of the line after the header.
    pairs : list of Pair
    """

    path: Path
    places: list[tuple[int, int]]
    in_list: bool
    start: int
    body: int
    pairs: list[Pair] = field(default_factory=list)

    @property
    def last(self) -> int:
        """Beginning of the line after its last pair, or after its header."""
        return self.pairs[-1].end if self.pairs else self.body


def outline_of(text: str) -> list[Block]:
    """Blocks of a valid TOML text, the one before the first header first.

    Parameters
    ----------
    text : str
        Valid TOML.

    Returns
    -------
    list of Block
        In the order of the text.
    """
    return _Walk(text).blocks()


class _Walk:
    """One walk through a text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.counts: dict[Path, int] = {}  # last position so far of each list of tables

    def blocks(self) -> list[Block]:
        found = [Block(path=(), places=[], in_list=False, start=0, body=0)]
        self.skip(_BLANK)
        while self.at < len(self.text):
            line = self.line_start(self.at)
            if self.text[self.at] == "[":
                found.append(self.header(line, found[-1].last))
            else:
                found[-1].pairs.append(self.pair(line))
            self.skip(_BLANK)
        return found

    def header(self, line: int, floor: int) -> Block:
        in_list = self.text.startswith("[[", self.at)
        self.at += 2 if in_list else 1
        keys, places = self.keys()
        path: Path = ()
        spans: list[tuple[int, int]] = []
        for number, key in enumerate(keys):
            path = (*path, key)
            spans.append(places[number])
            if number + 1 < len(keys) and path in self.counts:
                path = (*path, self.counts[path])
                spans.append(places[number])
        if in_list:
            self.counts[path] = self.counts.get(path, -1) + 1
            path = (*path, self.counts[path])
            spans.append(places[-1])
        self.skip(_REST)
        start = self.with_comments(line, floor)
        return Block(path=path, places=spans, in_list=in_list, start=start, body=self.at)

    def with_comments(self, line: int, floor: int) -> int:
        """Beginning of the comment lines that touch a header from above."""
        while line > floor:
            above = self.line_start(line - 1)
            if above < floor or not self.text[above:line].lstrip().startswith("#"):
                break
            line = above
        return line

    def line_start(self, place: int) -> int:
        return self.text.rfind("\n", 0, place) + 1

    def skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        if found is None:
            # Only reached when the text is not what the standard reader accepted; stop rather than loop.
            self.at = len(self.text)
            return ""
        self.at = found.end()
        return found.group()

    def keys(self) -> tuple[tuple[str, ...], list[tuple[int, int]]]:
        keys: list[str] = []
        places: list[tuple[int, int]] = []
        while self.at < len(self.text):
            self.skip(_SPACE)
            start = self.at
            if self.text.startswith('"', start):
                keys.append(str(tomllib.loads(f"key = {self.skip(_BASIC)}")["key"]))
            elif self.text.startswith("'", start):
                keys.append(self.skip(_LITERAL)[1:-1])
            else:
                keys.append(self.skip(_BARE))
            places.append((start, self.at))
            self.skip(_SPACE)
            if not self.text.startswith(".", self.at):
                break
            self.at += 1
        return tuple(keys), places

    def pair(self, line: int | None) -> Pair:
        """A pair on lines of its own, or one in braces where `line` is None."""
        first = self.at
        keys, places = self.keys()
        self.at += 1  # the equals sign
        value = self.value()
        end = self.at
        if line is not None:
            self.skip(_REST)
            end = self.at
        return Pair(keys=keys, places=places, value=value, start=first if line is None else line, end=end)

    def value(self) -> Spot:
        self.skip(_SPACE)
        spot = Spot(start=self.at)
        rest = self.text[self.at : self.at + 3]
        if rest == '"""':
            self.skip(_LONG_BASIC)
        elif rest == "'''":
            self.skip(_LONG_LITERAL)
        elif rest.startswith('"'):
            self.skip(_BASIC)
        elif rest.startswith("'"):
            self.skip(_LITERAL)
        elif rest.startswith("["):
            self.array(spot)
        elif rest.startswith("{"):
            self.table(spot)
        else:
            self.skip(_SCALAR)
        spot.end = self.at
        return spot

    def array(self, spot: Spot) -> None:
        spot.kind = "array"
        self.at += 1
        self.skip(_BLANK)
        while self.at < len(self.text) and self.text[self.at] != "]":
            spot.entries.append(self.value())
            self.skip(_BLANK)
            if self.text.startswith(",", self.at):
                self.at += 1
                self.skip(_BLANK)
        self.at += 1

    def table(self, spot: Spot) -> None:
        spot.kind = "table"
        self.at += 1
        self.skip(_BLANK)
        while self.at < len(self.text) and self.text[self.at] != "}":
            spot.pairs.append(self.pair(None))
            self.skip(_BLANK)
            if self.text.startswith(",", self.at):
                self.at += 1
                self.skip(_BLANK)
        self.at += 1
