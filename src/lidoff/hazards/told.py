"""What the dossier tells the hazard checks beside its circuit: distances and sources of light, as the analyst wrote them."""

from __future__ import annotations

from dataclasses import dataclass

from lidoff.evidence import read_text
from lidoff.quantities import Quantity

__all__ = [
    "DISTANCE_UNITS",
    "LIGHT_UNITS",
    "MATERIAL_GROUPS",
    "OVERVOLTAGE_CATEGORIES",
    "POLLUTION_DEGREES",
    "SURFACES",
    "Distance",
    "Light",
]

SURFACES = ("printed board", "other")
POLLUTION_DEGREES = ("1", "2", "3")
MATERIAL_GROUPS = ("I", "II", "IIIa", "IIIb")
OVERVOLTAGE_CATEGORIES = ("I", "II", "III", "IV")


def _read(text: str, unit: str) -> Quantity | None:
    return read_text(text, unit) if text else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance:
    """Shortest way between two nets, as measured, and what the insulation there is to do.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    between : tuple of str
        The two nets.
    creepage, clearance : str
        Along the surface and through air, such as ``"2.1 mm ± 0.2 mm"``; empty where not measured.
    insulation : {"basic", "reinforced"}
        What is asked of it.
    surface, pollution_degree, material_group, overvoltage_category : str
        As in IEC 60664-1; empty for the usual (printed board, 2, IIIa, II), which the answer then says.
    working_voltage : str
        Effective voltage between the nets; empty to take it from the solved circuit.
    mains : str
        Voltage of the mains from line to neutral that the impulses come from; empty where there is none.
    note : str
        How it was measured.
    """

    name: str
    between: tuple[str, ...]
    creepage: str = ""
    clearance: str = ""
    insulation: str = "basic"
    surface: str = ""
    pollution_degree: str = ""
    material_group: str = ""
    overvoltage_category: str = ""
    working_voltage: str = ""
    mains: str = ""
    note: str = ""

    def read(self, key: str) -> Quantity | None:
        """Quantity of a key, None where it is empty.

        Raises
        ------
        ImpossibleValue, UnknownName
            The text cannot be read.
        """
        return _read(getattr(self, key), DISTANCE_UNITS[key])


DISTANCE_UNITS = {"creepage": "m", "clearance": "m", "working_voltage": "V", "mains": "V"}
"""Unit of each key of a distance that is a quantity."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Light:
    """A source of light, as far as its danger to eye and skin goes.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    parts : tuple of str
        The parts that shine together.
    peak, width : str
        Of its spectrum: wavelength, and full width at half of the peak.
    radiant_power : str
        Of all the parts together.
    distance : str
        From which it is looked at.
    beam_angle : str
        Full angle of the cone that takes all the light evenly; empty for an even glow after Lambert.
    exposure : str
        Time a day; empty for eight hours.
    note : str
        Where the figures come from.
    """

    name: str
    parts: tuple[str, ...] = ()
    peak: str
    width: str
    radiant_power: str
    distance: str
    beam_angle: str = ""
    exposure: str = ""
    note: str = ""

    def read(self, key: str) -> Quantity | None:
        """Quantity of a key, None where it is empty.

        Raises
        ------
        ImpossibleValue, UnknownName
            The text cannot be read.
        """
        return _read(getattr(self, key), LIGHT_UNITS[key])


LIGHT_UNITS = {
    "peak": "m",
    "width": "m",
    "radiant_power": "W",
    "distance": "m",
    "beam_angle": "rad",
    "exposure": "s",
}
"""Unit of each key of a light that is a quantity."""
