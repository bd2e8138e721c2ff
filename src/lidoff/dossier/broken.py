"""Why a text is no TOML, in words that help the person who wrote it."""

from __future__ import annotations

import re

from lidoff.errors import DossierError

__all__ = ["broken_text"]

_PLACE = re.compile(r"\s*\(at (?:line (\d+), column \d+|end of document)\)")
_QUOTES = 'put texts in double quotes: "…"'
# What the standard reader says (a pattern) → what is wrong, what to do; {key} is the key that it names.
_WORDS: tuple[tuple[str, str, str], ...] = (
    (r"Cannot declare \((?P<key>.*)\) twice", "two entries are called {key}", "give each its own name, or merge the two"),
    (
        r"Cannot overwrite a value",
        "a key stands here for the second time",
        "keep one of the two, or give the second entry its own name",
    ),
    (r"Duplicate inline table key '(?P<key>.*)'", "{key} stands twice between { and }", "keep one of the two"),
    (
        r"Cannot (?:mutate|redefine) (?:immutable )?namespace \((?P<key>.*)\)",
        "{key} was already written between { and }, and nothing can be added to that",
        "put all of it between the { }, or write it under a header of its own",
    ),
    (r"Invalid value", "the value after = cannot be read", _QUOTES),
    (r"Expected '=' after a key.*", "there is no = after the key", 'write key = "value"'),
    (r"Invalid statement", "this is neither key = value nor a [header]", 'write key = "value"; a remark starts with #'),
    (r"Expected newline or end of document.*", "there is more on the line than one key = value", _QUOTES),
    (r"Expected '\](?:\])?' at the end of a table.*", "the header has no closing bracket", "close it with ]"),
    (r"Unclosed array", "a list is not closed", "close it with ], with commas between its entries"),
    (
        r"Unclosed inline table|Expected.*inline table.*",
        "a table between { and } is not closed on its line",
        "close it with } on the same line, with commas between its entries",
    ),
    (
        r"Unterminated string|Expected \"'+\"|Illegal character '\\n'",
        "a text is not closed",
        "close it with the quote it began with",
    ),
    (r"Unescaped '\\' in a string", "a backslash stands in a text", "write it twice, or put the text in single quotes"),
    (
        r"Invalid initial character for a key part",
        "a name begins with a sign that names cannot have",
        'put such a name in double quotes, as in [readings."½ load"]',
    ),
)  # fmt: skip

_NAMELESS = re.compile(r"[^=\"']*(\.\s*\.|\.\s*[]=]|\[\s*[.\]]|^\s*\.).*")
"""A line in which a name is missing, where the reader says that one begins with a wrong sign."""


def broken_text(message: str, text: str, name: str) -> DossierError:
    """Error for a text that is not TOML.

    Parameters
    ----------
    message : str
        What the standard reader said.
    text : str
        The text.
    name : str
        What messages call the file.

    Returns
    -------
    DossierError
        With the line, and the line's content.
    """
    found = _PLACE.search(message)
    lines = text.splitlines() or [""]
    number = int(found[1]) if found and found[1] else len(lines)
    cause = _PLACE.sub("", message).strip()
    content = lines[min(number, len(lines)) - 1].strip()
    legible = "".join(
        letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in content[:60]
    )
    shown = f": {legible}{'…' if len(content) > 60 else ''}" if content else ""
    where = f"{name}, line {number}"
    if cause == "Invalid initial character for a key part" and _NAMELESS.fullmatch(content):
        return DossierError(
            f"a name is missing beside a dot or between the brackets{shown}",
            where=where,
            remedy="write the name there, as in [readings.idle]",
        )
    for pattern, what, remedy in _WORDS:
        match = re.fullmatch(pattern, cause)
        if match is not None:
            key = ".".join(re.findall(r"'([^']*)'", match["key"])) if "key" in match.groupdict() else ""
            key = key or match.groupdict().get("key", "")
            return DossierError(what.replace("{key}", key) + shown, where=where, remedy=remedy)
    return DossierError(
        f"this is not valid TOML: {cause[:1].lower()}{cause[1:]}{shown}",
        where=where,
        remedy="put texts in double quotes, lists in [ ], and close every bracket and quote",
    )
