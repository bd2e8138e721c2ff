"""Colours of a drawing: light, dark and print."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from lidoff.errors import UnknownName

__all__ = ["THEMES", "Theme", "theme_named"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Theme:
    """Colours as ``#rrggbb``.

    Attributes
    ----------
    name : str
        By which it is asked for.
    paper, ink, quiet : str
        Ground, lines and text, and what stands back.
    accent : str
        What is highlighted.
    supply, ground : str
        Rails.
    tints : tuple of str
        Areas behind groups that name no colour of their own, in turns.
    tint_opacity : float
        How strongly areas are tinted.
    """

    name: str
    paper: str
    ink: str
    quiet: str
    accent: str
    supply: str
    ground: str
    tints: tuple[str, ...]
    tint_opacity: float


THEMES: Mapping[str, Theme] = MappingProxyType(
    {
        theme.name: theme
        for theme in (
            Theme(
                name="light", paper="#faf7f0", ink="#1d2433", quiet="#6b7280", accent="#c8841a",
                supply="#a8412f", ground="#4a5a6a", tints=("#c8841a", "#1f8a8a", "#5b6fa8", "#a8412f"), tint_opacity=0.13,
            ),
            Theme(
                name="dark", paper="#17191c", ink="#e9e4d8", quiet="#9aa1ab", accent="#e0a03c",
                supply="#de7a66", ground="#93a7bb", tints=("#e0a03c", "#3fb0b0", "#8496d6", "#de7a66"), tint_opacity=0.17,
            ),
            Theme(
                name="print", paper="#ffffff", ink="#000000", quiet="#444444", accent="#c8841a",
                supply="#a8412f", ground="#4a5a6a", tints=("#c8841a", "#1f8a8a", "#5b6fa8", "#a8412f"), tint_opacity=0.13,
            ),
        )
    }
)  # fmt: skip
"""Themes by name."""


def theme_named(name: str) -> Theme:
    """Theme of that name.

    Parameters
    ----------
    name : str
        ``light``, ``dark`` or ``print``.

    Returns
    -------
    Theme
        Its colours.

    Raises
    ------
    UnknownName
        There is no such theme.
    """
    if name not in THEMES:
        raise UnknownName(f"there is no theme {name!r}", name=name, known=THEMES)
    return THEMES[name]
