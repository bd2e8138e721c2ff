"""Words as they are looked for: small letters without accents, whatever form they were typed in."""

from __future__ import annotations

import re
import unicodedata

__all__ = ["folded", "words_in"]


def folded(text: str) -> str:
    """Text in small letters without accents, in which what is written in several ways is written in one.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        Index and question must both be folded, else a word is not found by itself.

    Examples
    --------
    >>> folded("Straße, 4,7 kΩ, H₂O")
    'strasse, 4,7 kω, h2o'
    """
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter)).casefold()


def words_in(text: str) -> list[str]:
    """Words of a text, folded; what is no letter and no digit parts them.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    list of str
        In order, so that none holds a sign that the index takes for an operator.

    Examples
    --------
    >>> words_in("LED (white), 3 V")
    ['led', 'white', '3', 'v']
    """
    return re.findall(r"\w+", folded(text))
