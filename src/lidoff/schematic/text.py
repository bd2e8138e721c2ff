"""What is written on a drawing: values with prefixes, and where a line of text lies."""

from __future__ import annotations

import math

from lidoff.circuit.kind import kind_of
from lidoff.circuit.netlist import Part
from lidoff.fonts import text_width
from lidoff.schematic.levels import main_number

__all__ = ["current_lines", "engineering", "lines_beside", "stood_for", "text_box", "voltage_text"]

_PREFIXES = {-15: "f", -12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G"}
UNWRITTEN = frozenset(
    {"forward_drop", "current_gain", "first_gain", "on_resistance", "length", "resistance_when_closed"}
)
"""Main parameters that say nothing to a reader of the drawing; the marking stands there instead."""


SMALL = 0.05
"""Share of the other up to which the mean of a voltage, or what alternates round it, is not written; our choice."""


def engineering(value: float, unit: str, digits: int = 3) -> str:
    """Value with an SI prefix, without needless zeros.

    Parameters
    ----------
    value : float
        In SI units.
    unit : str
        Symbol of the unit.
    digits : int
        Significant digits.

    Returns
    -------
    str
        Such as "4.7 kΩ".

    Examples
    --------
    >>> engineering(4700.0, "Ω")
    '4.7 kΩ'
    >>> engineering(1e-7, "F")
    '100 nF'
    >>> engineering(-0.0123, "A", 2)
    '−12 mA'
    """
    if not math.isfinite(value):
        return "?"
    if value == 0.0:
        return f"0 {unit}"
    power = math.floor(math.log10(abs(value)) + 1e-12)
    rounded = round(value, digits - 1 - power)
    power = math.floor(math.log10(abs(rounded)) + 1e-12)
    third = min(max(3 * (power // 3), -15), 9)
    scaled = rounded / 10.0**third
    places = max(0, digits - 1 - (power - third))
    number = f"{scaled:.{places}f}"
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number.replace('-', '−')} {_PREFIXES[third]}{unit}"


def voltage_text(steady: float, alternating: float = 0.0) -> str:
    """Voltage of a net as it is written beside it.

    Parameters
    ----------
    steady : float
        Its mean [V].
    alternating : float
        Effective value of what alternates round it [V].

    Returns
    -------
    str
        One of the two alone where the other is small beside it.

    Examples
    --------
    >>> voltage_text(9.93, 0.1), voltage_text(0.2, 230.0), voltage_text(5.0, 5.4)
    ('9.93 V', '230 V ac', '5 V + 5.4 V ac')
    """
    return _mean_and_wave(steady, alternating, "V")


def current_lines(steady: float, alternating: float = 0.0) -> list[str]:
    """Current of a part as it is written beside it, its mean and what alternates on lines of their own.

    Parameters
    ----------
    steady : float
        Its mean [A].
    alternating : float
        Effective value of what alternates round it [A].

    Returns
    -------
    list of str
        One of the two alone where the other is small beside it.

    Examples
    --------
    >>> current_lines(0.012), current_lines(0.0, 0.034), current_lines(0.007, 0.009)
    (['12 mA'], ['34 mA ac'], ['7 mA', '+ 9 mA ac'])
    """
    mean, plus, wave = _mean_and_wave(steady, alternating, "A").partition(" + ")
    return [mean, f"+ {wave}"] if plus else [mean]


def _mean_and_wave(steady: float, alternating: float, unit: str) -> str:
    if not abs(alternating) > SMALL * abs(steady):
        return engineering(steady, unit)
    wave = f"{engineering(abs(alternating), unit)} ac"
    return wave if abs(steady) <= SMALL * abs(alternating) else f"{engineering(steady, unit)} + {wave}"


def stood_for(part: Part) -> str:
    """Parts that a stand-in stands for, those in a row with the first and the last.

    Examples
    --------
    >>> stood_for(Part(reference="V1", kind="dc_supply", pins={}, stands_for=("J1", "C1", "D1", "D2", "D3")))
    'J1, C1, D1–D3'
    """
    rows: list[list[str]] = []
    for name in part.stands_for:
        if rows and _follows(rows[-1][-1], name):
            rows[-1].append(name)
        else:
            rows.append([name])
    return ", ".join(f"{row[0]}–{row[-1]}" if len(row) > 2 else ", ".join(row) for row in rows)


def _follows(one: str, other: str) -> bool:
    """Whether two references have the same letters and follow each other in number."""
    letters, number = one.rstrip("0123456789"), one[len(one.rstrip("0123456789")) :]
    return number.isdigit() and other == f"{letters}{int(number) + 1}"


def value_text(part: Part) -> str:
    """Main value or marking that stands beside a part."""
    kind = kind_of(part)
    # The value goes before the marking: "100" printed on a chip of 10 Ω would mislead on a drawing.
    if kind.main_value in UNWRITTEN or kind.main_value not in part.values:
        return part.marking
    number = main_number(part)
    if number is None:
        return str(part.values[kind.main_value])
    unit = kind.parameters_of(part)[kind.main_value].unit
    return engineering(number, "" if unit == "1" else unit)


def lines_beside(part: Part, repeats: int = 1) -> list[str]:
    """Reference, then value or marking; of a stand-in also its resistance, and that it is no part."""
    value = value_text(part)
    name = part.reference + (f" ×{repeats}" if repeats > 1 else "")
    lines = [name, value] if value else [name]
    if not part.stands_for:
        return lines
    inside = part.values.get("resistance", 0.0)
    resistance = [f"behind {engineering(inside, 'Ω')}"] if isinstance(inside, float) and inside else []
    return [*lines, *resistance, "no part, stands for", stood_for(part)]


def text_box(
    text: str, x: float, y: float, anchor: str, size: float, *, bold: bool = False
) -> tuple[float, float, float, float]:
    """Rectangle that a line of text covers."""
    width = text_width(text, size, bold=bold)
    left = x if anchor == "start" else x - width if anchor == "end" else x - width / 2
    return (left, y - 0.52 * size, left + width, y + 0.52 * size)
