"""The indefinite article before a noun of the trade."""

from __future__ import annotations

__all__ = ["with_article"]


def with_article(noun: str) -> str:
    """Noun with the indefinite article that goes before its first sound.

    Parameters
    ----------
    noun : str
        Its first word may be letters that are spelled out, such as "LED".

    Returns
    -------
    str
        Article, space, noun.

    Examples
    --------
    >>> with_article("electrolytic capacitor"), with_article("n-channel MOSFET"), with_article("resistor")
    ('an electrolytic capacitor', 'an n-channel MOSFET', 'a resistor')
    >>> with_article("LED"), with_article("AC supply"), with_article("USB socket"), with_article("TVS clamp")
    ('an LED', 'an AC supply', 'a USB socket', 'a TVS clamp')
    """
    first = noun.split(" ", 1)[0].split("-", 1)[0]
    spelled = (first.isupper() and len(first) > 1) or len(first) == 1
    vowel = first[:1].lower() in ("aefhilmnorsx" if spelled else "aeiou")
    return f"{'an' if vowel else 'a'} {noun}"
