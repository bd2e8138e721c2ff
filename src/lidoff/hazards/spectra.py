"""Spectra: a bell by peak and width, a measured one from a file, and the sun's, with their weighted sums."""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from lidoff.errors import ImpossibleValue
from lidoff.hazards.limits import limit_table
from lidoff.hazards.weights import Action

__all__ = ["Spectrum", "bell", "measured_spectrum", "sunlight", "white"]

Array = NDArray[np.float64]
STEPS = 2001  # of a bell's wavelengths: closer than a hundredth of its width
REACH = 4.0  # half widths on either side of the peak beyond which a bell is taken as dark
FEWEST = 5
"""Rows of a file that make a spectrum."""
SHORTEST, LONGEST = 1e-9, 1e-3
"""Wavelengths that a spectrum may hold [m]: more than all that counts as optical radiation."""
BRIGHTEST = 1e30
"""Greatest density [W/m³]: far beyond any lamp's, and still far from where sums overflow."""
_LENGTHS = {"nm": 1e-9, "µm": 1e-6, "um": 1e-6, "m": 1.0}
_DENSITIES = {  # spelling without blanks and brackets → W/(m²·m)
    "w/m2/nm": 1e9,
    "w/m2nm": 1e9,
    "mw/m2/nm": 1e6,
    "mw/m2nm": 1e6,
    "µw/cm2/nm": 1e7,
    "µw/cm2nm": 1e7,
    "mw/cm2/nm": 1e10,
    "w/m3": 1.0,
}


@dataclass(frozen=True, slots=True, eq=False)
class Spectrum:
    """One spectrum.

    Attributes
    ----------
    wavelength : ndarray of shape (N,)
        Rising [m].
    density : ndarray of shape (N,)
        Irradiance for each metre of wavelength [W/m³]; of a bell, its share [1/m].
    """

    wavelength: Array
    density: Array

    def sum(self, action: Action | None = None) -> float:
        """Irradiance that counts for an action, by the trapezium rule [W/m²]; of a bell, its share."""
        if action is None:
            return float(np.trapezoid(self.density, self.wavelength))
        # The band's ends become points of their own: a weight that ends there would else count half a step too much.
        inside = (self.wavelength > action.low) & (self.wavelength < action.high)
        ends = np.clip([action.low, action.high], self.wavelength[0], self.wavelength[-1])
        if ends[0] >= ends[1]:
            return 0.0
        wavelength = np.concatenate((ends[:1], self.wavelength[inside], ends[1:]))
        density = np.interp(wavelength, self.wavelength, self.density)
        return float(np.trapezoid(density * action.weight(wavelength), wavelength))

    @property
    def peak(self) -> float:
        """Wavelength of its highest value [m]."""
        return float(self.wavelength[int(np.argmax(self.density))])


def bell(peak: float, width: float) -> Spectrum:
    """Bell of one watt per square metre.

    Parameters
    ----------
    peak, width : float
        Wavelength of the peak, and full width at half of it [m].

    Returns
    -------
    Spectrum
        A Gaussian whose whole sum is one.

    Examples
    --------
    >>> round(bell(400e-9, 12e-9).sum(), 6)
    1.0
    """
    wavelength = np.linspace(peak - REACH * width, peak + REACH * width, STEPS)
    shape = np.exp(-4.0 * math.log(2.0) * ((wavelength - peak) / width) ** 2)
    return Spectrum(wavelength, shape / float(np.trapezoid(shape, wavelength)))


@lru_cache(maxsize=64)
def white(temperature: float) -> Spectrum:
    """Spectrum of a white light-emitting diode, of one watt per square metre.

    Parameters
    ----------
    temperature : float
        Colour temperature [K]; beyond the table's ends, those.

    Returns
    -------
    Spectrum
        A narrow blue bell and the broad one of the phosphor, whose whole sum is one.

    Examples
    --------
    >>> round(white(4000.0).sum(), 4)
    1.0
    """
    table = limit_table("white_light").entries
    share, peak, width = (
        float(np.interp(temperature, table["temperature"], table[name]))
        for name in ("blue_share", "phosphor_peak", "phosphor_width")
    )
    blue = bell(1e-9 * table["blue_peak"], 1e-9 * table["blue_width"])
    phosphor = bell(1e-9 * peak, 1e-9 * width)
    wavelength = np.union1d(blue.wavelength, phosphor.wavelength)

    def at(part: Spectrum) -> Array:
        return np.interp(wavelength, part.wavelength, part.density, left=0.0, right=0.0)

    density = share * at(blue) + (1.0 - share) * at(phosphor)
    return Spectrum(wavelength, density / float(np.trapezoid(density, wavelength)))


@cache
def sunlight(of: str = "global") -> Spectrum:
    """The sun's spectrum.

    Parameters
    ----------
    of : {"global", "direct", "extraterrestrial"}, optional
        Sun and sky on a plane tilted by 37°, the sun alone, or above the air.

    Returns
    -------
    Spectrum
        From 280 to 4000 nm.

    References
    ----------
    .. [1] ASTM G173-03.
    """
    table = limit_table("sunlight").entries
    return Spectrum(1e-9 * np.array(table["wavelength"]), 1e9 * np.array(table[of]))


def measured_spectrum(content: bytes) -> Spectrum:
    r"""Spectrum of a file with a column of wavelengths and one of irradiance.

    Parameters
    ----------
    content : bytes
        Text with comma, semicolon or tab between two columns, whose heading tells both units, such as
        ``wavelength (nm); irradiance (W/m2/nm)``; decimal commas are read where the columns are parted otherwise.

    Returns
    -------
    Spectrum
        By rising wavelength; values below zero, a spectrometer's noise, are kept.

    Raises
    ------
    ImpossibleValue
        No heading tells the units, a row is not two numbers, wavelengths come twice, numbers lie beyond what light has, or
        there are too few rows.

    Examples
    --------
    >>> rows = b"nm,W/m2/nm\n400,0\n401,1\n402,2\n403,1\n404,0\n"
    >>> round(measured_spectrum(rows).sum(), 6)
    4.0
    """
    text = content.decode("utf-8-sig", errors="replace").replace("μ", "µ")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    separator = next((one for one in ("\t", ";", ",") if lines and one in lines[0]), ",")
    try:
        rows = list(csv.reader(lines, delimiter=separator))
    except csv.Error as error:
        raise ImpossibleValue(
            f"the spectrum is no table ({error})", remedy="check that this is the right file"
        ) from None
    heading = rows[0] if rows else []
    length = next((_LENGTHS[unit] for unit in _LENGTHS if _tells(heading[:1], unit)), None)
    density = next((_DENSITIES[unit] for cell in heading[1:2] if (unit := _density_in(cell))), None)
    if length is None or density is None:
        raise ImpossibleValue(
            f"the first line of the spectrum tells no units: {lines[0][:60] if lines else 'it is empty'!r}",
            remedy="begin it with a heading such as: wavelength (nm); irradiance (W/m2/nm)",
        )
    values = np.array([_numbers(row, number, separator) for number, row in enumerate(rows[1:], start=2)])
    if len(values) < FEWEST:
        raise ImpossibleValue(f"the spectrum has {len(values)} rows", remedy=f"give {FEWEST} at least")
    values = values[np.argsort(values[:, 0])]
    if not (np.diff(values[:, 0]) > 0.0).all():
        raise ImpossibleValue("wavelengths of the spectrum come twice", remedy="leave one row for each")
    if values[0, 0] < SHORTEST / length or values[-1, 0] > LONGEST / length:
        raise ImpossibleValue(
            f"wavelengths of the spectrum do not lie between {SHORTEST:g} m and {LONGEST:g} m",
            remedy="check the unit in its heading",
        )
    if np.abs(values[:, 1]).max() > BRIGHTEST / density:
        raise ImpossibleValue(
            "the spectrum holds more than any lamp gives", remedy="check the unit in its heading"
        )
    return Spectrum(length * values[:, 0], density * values[:, 1])


def _tells(cells: list[str], unit: str) -> bool:
    return any(re.search(rf"(?<![\w/]){re.escape(unit)}(?![\w/])", cell) for cell in cells)


def _density_in(cell: str) -> str:
    plain = re.sub(r"[\s()\[\]·*]", "", cell).replace("²", "2").replace("^", "").lower().replace("uw", "µw")
    found = [unit for unit in _DENSITIES if plain.endswith(unit)]
    return max(found, key=len, default="")


def _numbers(row: list[str], line: int, separator: str) -> tuple[float, float]:
    try:
        first, second = (
            float(cell.strip().replace(",", ".") if separator != "," else cell) for cell in row[:2]
        )
    except ValueError:
        raise ImpossibleValue(
            f"line {line} of the spectrum is not two numbers: {separator.join(row)[:60]!r}",
            remedy="leave only wavelength and irradiance in each line",
        ) from None
    if not (math.isfinite(first) and math.isfinite(second)):
        raise ImpossibleValue(f"line {line} of the spectrum is not finite", remedy="take it out")
    return first, second
