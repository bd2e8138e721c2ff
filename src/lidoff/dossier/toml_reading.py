"""Text of a TOML file → plain data, or one clear error; what would keep the reader busy for hours is refused unread."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from lidoff.dossier.broken import broken_text
from lidoff.errors import DossierError

__all__ = ["DEEPEST_KEY", "toml_data"]

DEEPEST_KEY = 24
"""Most names that dots may join in one key; the dossier's own tables need five."""
_LARGEST = 2**63 - 1
"""Largest whole number of TOML 1.0; what is larger could not be written out again."""
_DEEP_KEY = re.compile(
    r"(?<![\w-])(?:(?:[A-Za-z0-9_-]+|\"[^\"\n]*\"|'[^'\n]*')[ \t]*\.[ \t]*){" + str(DEEPEST_KEY) + "}"
)


def toml_data(text: str, name: str) -> dict[str, Any]:
    """Plain data of a TOML text.

    Parameters
    ----------
    text : str
        Of the file.
    name : str
        The file's name, for errors.

    Returns
    -------
    dict

    Raises
    ------
    DossierError
        It is no TOML, nested deeper than any dossier is, or holds a whole number beyond 64 bits; names the line where it can.

    Examples
    --------
    >>> toml_data('device.title = "Lamp"', "dossier.toml")
    {'device': {'title': 'Lamp'}}
    """
    deep = _DEEP_KEY.search(text)
    if deep is not None:
        line = text.count("\n", 0, deep.start()) + 1
        raise DossierError(
            f"a key joins more than {DEEPEST_KEY} names by dots",
            where=f"{name}, line {line}",
            remedy="check that this is the right file",
        )
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise broken_text(str(error), text, name) from None
    except RecursionError:
        raise DossierError(
            "brackets are nested too deeply", where=name, remedy="check that this is the right file"
        ) from None
    except ValueError:  # Python reads no whole number of more than some thousand digits
        raise _too_large(name) from None
    rest: list[object] = [data]
    while rest:
        value = rest.pop()
        if isinstance(value, dict):
            rest.extend(value.values())
        elif isinstance(value, list):
            rest.extend(value)
        elif isinstance(value, int) and not -_LARGEST - 1 <= value <= _LARGEST:
            raise _too_large(name)
    return data


def _too_large(name: str) -> DossierError:
    return DossierError(
        "a whole number has more than 64 bits", where=name, remedy="write it as a text, in double quotes"
    )
