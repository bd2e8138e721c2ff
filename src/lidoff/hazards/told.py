"""What the dossier tells the hazard checks beside its circuit, as the analyst wrote it: distances, light, surfaces, cells."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from lidoff.evidence import read_text
from lidoff.quantities import Quantity

__all__ = [
    "CELL_UNITS",
    "DISTANCE_UNITS",
    "LAMP_USES",
    "LASER_CLASSES",
    "LASER_UNITS",
    "LIGHT_UNITS",
    "MATERIAL_GROUPS",
    "OVERVOLTAGE_CATEGORIES",
    "POLLUTION_DEGREES",
    "PROTECTION",
    "PROTECTION_CLASSES",
    "SURFACES",
    "SURFACE_MATERIALS",
    "SURFACE_UNITS",
    "TOUCHES",
    "CellTold",
    "Distance",
    "Laser",
    "Light",
    "Surface",
]

SURFACES = ("printed board", "other")
POLLUTION_DEGREES = ("1", "2", "3")
MATERIAL_GROUPS = ("I", "II", "IIIa", "IIIb")
OVERVOLTAGE_CATEGORIES = ("I", "II", "III", "IV")
PROTECTION_CLASSES = ("I", "II", "III")
LAMP_USES = ("general lighting", "other")
LASER_CLASSES = ("1", "1C", "1M", "2", "2M", "3R", "3B", "4", "not printed")
SURFACE_MATERIALS = ("metal", "glass", "plastic")
TOUCHES = ("below 1 s", "1 s to 10 s", "10 s to 1 min", "held")
PROTECTION = ("present", "absent")
DISTANCE_UNITS = {
    "creepage": "m",
    "clearance": "m",
    "working_voltage": "V",
    "mains": "V",
    "altitude": "m",
}
"""Unit of each key of a distance that is a quantity."""
LIGHT_UNITS = {
    "peak": "m",
    "width": "m",
    "colour_temperature": "K",
    "radiant_power": "W",
    "luminous_flux": "lm",
    "distance": "m",
    "beam_angle": "rad",
    "source_size": "m",
    "exposure": "s",
}
"""Unit of each key of a light that is a quantity."""
LASER_UNITS = {"wavelength": "m", "power": "W"}
"""Unit of each key of a laser that is a quantity."""
SURFACE_UNITS = {"temperature": "°C", "room": "°C", "resistance": "K/W"}
"""Unit of each key of a surface that is a quantity."""
CELL_UNITS = {"charge_limit": "V", "cut_off": "V", "charge_current": "A", "over_current": "A"}
"""Unit of each key of a cell that is a quantity."""


class _Told:
    """Something told in texts, of which those in `units` are quantities."""

    __slots__ = ()
    units: ClassVar[Mapping[str, str]] = {}

    def read(self, key: str) -> Quantity | None:
        """Quantity of a key, None where it is empty.

        Raises
        ------
        ImpossibleValue, UnknownName
            The text cannot be read.
        """
        text: str = getattr(self, key)
        return read_text(text, self.units[key]) if text else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Distance(_Told):
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
        As in IEC 60664-1; empty for the usual (other, 2, IIIa, II), which the answer then says.
    working_voltage : str
        Effective voltage between the nets; empty to take it from the solved circuit.
    altitude : str
        Height above the sea up to which it is used, for clearances; empty for up to 2000 m.
    mains : str
        Voltage of the mains from line to neutral that the impulses come from; empty where there is none.
    note : str
        How it was measured.
    board : str
        Traced board to measure on what is empty of creepage and clearance.
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
    altitude: str = ""
    note: str = ""
    board: str = ""

    units = DISTANCE_UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Light(_Told):
    """A source of light, as far as its danger to eye and skin goes.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    parts : tuple of str
        The parts that shine together.
    distance : str
        From which it is looked at; of a measured spectrum, where it was taken.
    peak, width : str
        Of its spectrum: wavelength, and full width at half of the peak; empty where a spectrum was measured.
    colour_temperature : str
        Of a white diode, in place of peak and width.
    radiant_power, luminous_flux : str
        Of all the parts together; one of the two, the flux only for light that the eye sees.
    beam_angle : str
        Full angle of the cone that takes all the light evenly; empty for an even glow after Lambert.
    source_size : str
        Across the part that shines, for the brightness that the retina sees; empty for a small source.
    use : str
        One of `LAMP_USES`; sets the distance at which the risk group is told. Empty for other.
    exposure : str
        Time a day; empty for eight hours.
    spectrum : str
        Path of a measured spectrum inside the folder: wavelength and irradiance at `distance`.
    note : str
        Where the figures come from.
    content : bytes or None
        The measured spectrum; None where its file was not looked for. No part of comparisons.
    """

    name: str
    distance: str
    parts: tuple[str, ...] = ()
    peak: str = ""
    width: str = ""
    colour_temperature: str = ""
    radiant_power: str = ""
    luminous_flux: str = ""
    beam_angle: str = ""
    source_size: str = ""
    use: str = ""
    exposure: str = ""
    spectrum: str = ""
    note: str = ""
    content: bytes | None = field(default=None, compare=False, repr=False)

    units = LIGHT_UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Laser(_Told):
    """A laser, of which only what is printed is told; nothing is held against a limit.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    parts : tuple of str
        The parts that shine.
    laser_class : str
        One of `LASER_CLASSES`, as printed.
    wavelength, power : str
        As printed or measured; empty where not told.
    note : str
        Where the figures come from.
    """

    name: str
    laser_class: str
    parts: tuple[str, ...] = ()
    wavelength: str = ""
    power: str = ""
    note: str = ""

    units = LASER_UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class Surface(_Told):
    """A surface that can be touched, with its temperature or what it follows from.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    material : str
        One of `SURFACE_MATERIALS`.
    touch : str
        For how long it is touched in use, one of `TOUCHES`.
    temperature : str
        As measured; empty where it is to follow from the heat of the parts beneath.
    reading : str
        Reading that gives the temperature, in place of a value.
    room : str
        Temperature of the room then; empty for 25 °C.
    resistance : str
        Thermal resistance from the surface to where its heat goes on, for the heat of `parts`.
    to : str
        Surface that its heat goes on to, such as from a heat sink to the case; empty for the room.
    parts : tuple of str
        Parts whose heat leaves through it; empty for all.
    situation : str
        In which it was measured; empty where the dossier does not tell.
    note : str
        How it was measured.
    """

    name: str
    material: str
    touch: str
    temperature: str = ""
    reading: str = ""
    room: str = ""
    resistance: str = ""
    to: str = ""
    parts: tuple[str, ...] = ()
    situation: str = ""
    note: str = ""

    units = SURFACE_UNITS


@dataclass(frozen=True, slots=True, kw_only=True)
class CellTold(_Told):
    """What was found out about a cell and what guards it.

    Attributes
    ----------
    name : str
        Reference of the cell.
    charge_limit : str
        Highest voltage it was seen charged to.
    cut_off : str
        Voltage at which the device stops taking current from it.
    charge_current : str
        Highest current it was charged with.
    over_current : str
        Current at which something stops the discharge.
    protection : str
        Whether a protection circuit was found, one of `PROTECTION`; empty where nobody looked.
    note : str
        How it was found out.
    """

    name: str
    charge_limit: str = ""
    cut_off: str = ""
    charge_current: str = ""
    over_current: str = ""
    protection: str = ""
    note: str = ""

    units = CELL_UNITS
