"""Plain data → TOML text that a person likes to read."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

__all__ = ["inline_text", "key_text", "toml_text", "value_text"]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_ESCAPES = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r", '"': '\\"', "\\": "\\\\"}


def toml_text(document: Mapping[str, object]) -> str:
    """TOML of plain data: tables two deep have their own headers, smaller ones stand on one line.

    Parameters
    ----------
    document : mapping
        Texts, numbers, truth values, sequences and mappings of them.

    Returns
    -------
    str
        The text, ending in a line break.
    """
    return "\n".join(_lines((), document)).strip("\n") + "\n"


def _lines(path: tuple[str, ...], table: Mapping[str, object]) -> Iterator[str]:
    """Lines of a table: its own keys first, then the tables inside it."""
    inner: list[tuple[str, object]] = []
    for name, value in table.items():
        if _has_header(value, len(path)):
            inner.append((name, value))
        else:
            yield f"{key_text(name)} = {value_text(value)}"
    for name, value in inner:
        below = (*path, name)
        header = ".".join(key_text(key) for key in below)
        if isinstance(value, Mapping):
            # A table that holds only tables needs no header of its own; an empty one would vanish without.
            if not value or any(not _has_header(entry, len(below)) for entry in value.values()):
                yield from ("", f"[{header}]")
            yield from _lines(below, value)
        elif isinstance(value, Sequence):
            for entry in value:
                yield from ("", f"[[{header}]]")
                for key, content in entry.items():
                    yield f"{key_text(key)} = {value_text(content)}"


def _has_header(value: object, depth: int) -> bool:
    """Whether a value is written under a header of its own."""
    if isinstance(value, Mapping):
        tables = bool(value) and all(isinstance(entry, Mapping) for entry in value.values())
        return depth == 0 or depth == 1 or (depth == 2 and tables)
    is_list = isinstance(value, Sequence) and not isinstance(value, str) and len(value) > 0
    return depth <= 2 and is_list and all(isinstance(entry, Mapping) for entry in value)  # type: ignore[attr-defined]


def key_text(name: str) -> str:
    """Key as it is written: bare where TOML allows."""
    return name if _BARE.fullmatch(name) else _text(name)


def _text(text: str) -> str:
    return '"' + "".join(_escaped(letter) for letter in text) + '"'


def _escaped(letter: str) -> str:
    if letter in _ESCAPES:
        return _ESCAPES[letter]
    return f"\\u{ord(letter):04X}" if ord(letter) < 0x20 or ord(letter) == 0x7F else letter


def _long_text(text: str) -> str:
    lines = ["".join(_escaped(letter) for letter in line) for line in text.split("\n")]
    return '"""\n' + "\n".join(lines) + '"""'


def value_text(value: object) -> str:
    """Value as it is written after the equals sign; long texts and lists over several lines."""
    if isinstance(value, str):
        return _long_text(value) if "\n" in value else _text(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, Mapping):
        if not value:
            return "{}"
        # One line: a table between { } may not run over several.
        return (
            "{ "
            + ", ".join(f"{key_text(name)} = {inline_text(entry)}" for name, entry in value.items())
            + " }"
        )
    if isinstance(value, Sequence):
        entries = [value_text(entry) for entry in value]
        short = "[" + ", ".join(entries) + "]"
        return short if len(short) < 100 else "[\n" + "".join(f"  {entry},\n" for entry in entries) + "]"
    return repr(value)


def inline_text(value: object) -> str:
    """Value as it is written inside braces, a text on one line."""
    return _text(value) if isinstance(value, str) else value_text(value)
