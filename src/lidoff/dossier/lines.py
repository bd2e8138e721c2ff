"""Line of every key of a TOML text, for messages; the text has been read by the standard reader before."""

from __future__ import annotations

import bisect
import re
import tomllib
from collections.abc import Mapping

__all__ = ["line_of", "lines_of_keys"]

Path = tuple[str | int, ...]

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL = re.compile(r"'[^'\n]*'")
_LONG_BASIC = re.compile(r'"""(?:[^"\\]|\\.|"(?!""))*"{3,5}', re.DOTALL)
_LONG_LITERAL = re.compile(r"'''(?:[^']|'(?!''))*'{3,5}", re.DOTALL)
_SCALAR = re.compile(r"[^,\]}\n#]*")


def lines_of_keys(text: str) -> Mapping[Path, int]:
    """Line of every key and list entry of a valid TOML text.

    Parameters
    ----------
    text : str
        Valid TOML.

    Returns
    -------
    mapping of tuple of str or int to int
        Path of keys and list positions → line, from 1.
    """
    return _Walk(text).document()


def line_of(path: Path, lines: Mapping[Path, int]) -> int:
    """Line of a path, or of the nearest table above it; 1 where nothing of it stands in the text."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1


class _Walk:
    """One walk through a text, noting where keys stand."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self.counts: dict[Path, int] = {}  # entries so far of each list of tables
        self.newlines = [match.start() for match in re.finditer("\n", text)]

    def document(self) -> Mapping[Path, int]:
        prefix: Path = ()
        self.skip(_BLANK)
        while self.at < len(self.text):
            if self.text.startswith("[[", self.at):
                self.at += 2
                path = self.resolved(self.key())
                self.note(path)
                self.counts[path] = self.counts.get(path, -1) + 1
                prefix = (*path, self.counts[path])
                self.note(prefix)
                self.at += 2
            elif self.text[self.at] == "[":
                self.at += 1
                prefix = self.resolved(self.key())
                self.note(prefix)
                self.at += 1
            else:
                self.pair(prefix)
            self.skip(_BLANK)
        return self.lines

    def note(self, path: Path) -> None:
        for length in range(1, len(path) + 1):
            self.lines.setdefault(path[:length], bisect.bisect_left(self.newlines, self.at) + 1)

    def skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        if found is None:
            # Only reached when the text is not what the standard reader accepted; stop rather than loop.
            self.at = len(self.text)
            return ""
        self.at = found.end()
        return found.group()

    def resolved(self, keys: tuple[str, ...]) -> Path:
        """Path of a header: a list of tables means its last entry."""
        path: Path = ()
        for number, key in enumerate(keys):
            path = (*path, key)
            if path in self.counts and number + 1 < len(keys):
                path = (*path, self.counts[path])
        return path

    def key(self) -> tuple[str, ...]:
        keys = []
        while self.at < len(self.text):
            self.skip(_SPACE)
            if self.text.startswith('"', self.at):
                keys.append(str(tomllib.loads(f"key = {self.skip(_BASIC)}")["key"]))
            elif self.text.startswith("'", self.at):
                keys.append(self.skip(_LITERAL)[1:-1])
            else:
                keys.append(self.skip(_BARE))
            self.skip(_SPACE)
            if not self.text.startswith(".", self.at):
                break
            self.at += 1
        return tuple(keys)

    def pair(self, prefix: Path) -> None:
        path = (*prefix, *self.key())
        self.note(path)
        self.at += 1  # the equals sign
        self.value(path)

    def value(self, path: Path) -> None:
        self.skip(_SPACE)
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
            self.entries(path)
        elif rest.startswith("{"):
            self.inline(path)
        else:
            self.skip(_SCALAR)

    def entries(self, path: Path) -> None:
        self.at += 1
        number = 0
        self.skip(_BLANK)
        while self.at < len(self.text) and self.text[self.at] != "]":
            self.note((*path, number))
            self.value((*path, number))
            number += 1
            self.skip(_BLANK)
            if self.text.startswith(",", self.at):
                self.at += 1
                self.skip(_BLANK)
        self.at += 1

    def inline(self, path: Path) -> None:
        self.at += 1
        self.skip(_BLANK)
        while self.at < len(self.text) and self.text[self.at] != "}":
            self.pair(path)
            self.skip(_BLANK)
            if self.text.startswith(",", self.at):
                self.at += 1
                self.skip(_BLANK)
        self.at += 1
