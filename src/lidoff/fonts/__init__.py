"""The typeface of drawings and reports, shipped so that every page looks the same everywhere.

Knows: where the font files lie and how the family is called. Must not know: what is set in it.

Open Sans (Apache License 2.0, see ``LICENSE-OpenSans.txt``) is a humanist sans serif with tabular figures as its default; it
has Ω, µ, ×, − and ±, but no arrows: draw those.
"""

from __future__ import annotations

from pathlib import Path

__all__ = ["FAMILY", "font_folder", "text_width"]

FAMILY = "Open Sans"
"""Name of the family, as style sheets and typesetters ask for it."""


# Advance widths of the regular face, 2048 to the em, read from the font file.
_OTHER = 1200
_BY_ADVANCE = {
    453: "'",
    502: ",",
    518: "ijl",
    532: " ",
    545: ".:;·",
    547: "!J",
    571: "I",
    606: "()",
    659: "-",
    674: "[]",
    694: "f",
    711: "²³",
    723: "t",
    752: "/\\",
    776: "{}",
    821: '"',
    836: "r",
    877: "°",
    879: "?",
    918: "_",
    958: "z",
    975: "c",
    977: "s",
    1024: "–",
    1026: "v",
    1032: "y",
    1057: "F",
    1063: "L",
    1073: "x",
    1075: "k",
    1110: "^",
    1122: "g",
    1124: "S",
    1128: "|",
    1130: "*",
    1133: "T",
    1139: "Ea",
    1147: "Y",
    1149: "e",
    1169: "Z",
    1171: "$+0123456789<=>~Δ×±−≥≤≈",
    1182: "X`",
    1219: "V",
    1233: "P",
    1237: "o",
    1255: "bdpq",
    1257: "Khnu",
    1266: "R",
    1268: "µμ",
    1292: "C",
    1296: "A",
    1323: "#",
    1327: "B",
    1491: "GU",
    1493: "D",
    1495: "&",
    1511: "H",
    1544: "N",
    1593: "w",
    1595: "OQ",
    1597: "½",
    1602: "Ω",
    1606: "…",
    1686: "%",
    1841: "@",
    1849: "M",
    1896: "W",
    1905: "m",
    2048: "—",
}
_ADVANCES = {letter: advance for advance, letters in _BY_ADVANCE.items() for letter in letters}


def font_folder() -> Path:
    """Folder that holds the font files.

    Returns
    -------
    Path
        For a typesetter's font search path, or to embed the files in a page.
    """
    return Path(__file__).parent


def text_width(text: str, size: float = 1.0, *, bold: bool = False) -> float:
    """Width of a line of text in the shipped regular face, good to a few per cent.

    Parameters
    ----------
    text : str
        One line.
    size : float
        Font size, in any unit of length.
    bold : bool
        Whether the text is set in the semibold face.

    Returns
    -------
    float
        Advance width, in the unit of `size`.

    Examples
    --------
    >>> round(text_width("4k7", 10.0), 1)
    16.7
    """
    units = sum(_ADVANCES.get(letter, _OTHER) for letter in text)
    return units / 2048.0 * size * (1.05 if bold else 1.0)
