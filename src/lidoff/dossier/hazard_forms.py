"""The tables of ``dossier.toml`` that only the hazard checks look at."""

from __future__ import annotations

from lidoff.dossier.forms import Choice, Field, ListOf, NamedEntries, Table, Text, Value
from lidoff.hazards import (
    LAMP_USES,
    LASER_CLASSES,
    MATERIAL_GROUPS,
    OVERVOLTAGE_CATEGORIES,
    POLLUTION_DEGREES,
    PROTECTION,
    PROTECTION_CLASSES,
    SURFACE_MATERIALS,
    SURFACES,
    TOUCHES,
)

__all__ = ["HAZARD_FIELDS"]

_FILLED = Text(filled=True)
_VALUE = Value()
_PARTS = ListOf(_FILLED)


def _value(name: str, says: str, *, required: bool = False) -> Field:
    return Field(name=name, form=_VALUE, says=says, required=required)


def _text(name: str, says: str) -> Field:
    return Field(name=name, form=Text(), says=says)


_DISTANCE = Table(
    title="a distance",
    fields=(
        Field(name="between", form=ListOf(_FILLED, 2), says="the two nets", required=True),
        _value("creepage", 'shortest way along the surface, such as "2.1 mm ± 0.2 mm"'),
        _value("clearance", "shortest way through air"),
        _text("board", "traced board to measure on what is left out of the two"),
        Field(
            name="insulation",
            form=Choice(("basic", "reinforced")),
            says="what is asked of it; basic if left out",
        ),
        Field(
            name="surface",
            form=Choice(SURFACES),
            says="what it lies on; other if left out, as against the mains always",
        ),
        Field(name="pollution_degree", form=Choice(POLLUTION_DEGREES), says="2 if left out"),
        Field(name="material_group", form=Choice(MATERIAL_GROUPS), says="IIIa if left out"),
        Field(name="overvoltage_category", form=Choice(OVERVOLTAGE_CATEGORIES), says="II if left out"),
        _value(
            "working_voltage",
            "effective voltage between the nets, if not to be taken from the solved circuit",
        ),
        _value("mains", "mains voltage, line to neutral, that impulses come from"),
        _value("altitude", "height above the sea up to which it is used; 2000 m if left out"),
        _text("note", "how it was measured"),
    ),
)
_LIGHT = Table(
    title="a light",
    fields=(
        Field(name="parts", form=_PARTS, says="parts that shine together"),
        _value("peak", 'peak of its spectrum, such as "395 nm"'),
        _value("width", "full width of the peak at half its height"),
        _value("colour_temperature", 'of a white diode, such as "4000 K", in place of peak and width'),
        _value("radiant_power", "of all the parts together"),
        _value("luminous_flux", "of all the parts together, in place of the radiant power"),
        Field(
            name="spectrum",
            form=Text(),
            says="a measured spectrum in place of peak, width and power: a CSV file in logs/ with wavelength and irradiance",
        ),
        _value(
            "distance", "from which it is looked at, or at which the spectrum was measured", required=True
        ),
        _value("beam_angle", 'full angle of its cone, such as "30°"'),
        _value("source_size", "across the part that shines; left out for a small source"),
        Field(
            name="use", form=Choice(LAMP_USES), says="sets the distance of the risk group; other if left out"
        ),
        _value("exposure", "time a day; eight hours if left out"),
        _text("note", "where the figures come from"),
    ),
)
_LASER = Table(
    title="a laser",
    fields=(
        Field(
            name="laser_class",
            form=Choice(LASER_CLASSES),
            says="class as printed on the device",
            required=True,
        ),
        Field(name="parts", form=_PARTS, says="parts that shine"),
        _value("wavelength", "as printed or measured"),
        _value("power", "as printed or measured"),
        _text("note", "where the figures come from"),
    ),
)
_SURFACE = Table(
    title="a surface",
    fields=(
        Field(name="material", form=Choice(SURFACE_MATERIALS), says="what it is made of", required=True),
        Field(name="touch", form=Choice(TOUCHES), says="for how long it is touched in use", required=True),
        _value("temperature", "as measured"),
        _text("reading", "name of the reading of its temperature, in place of a value"),
        _value("room", "temperature of the room then; 25 °C if left out"),
        _value(
            "resistance", 'thermal resistance to the room, such as "9 K/W ± 30 %", if nothing was measured'
        ),
        _text(
            "to",
            "surface that its heat goes on to, such as from a heat sink to the case, in place of the room",
        ),
        Field(name="parts", form=_PARTS, says="parts whose heat leaves through it; all if left out"),
        _text("situation", "situation in which it was measured"),
        _text("note", "how it was measured"),
    ),
)
_CELL = Table(
    title="a cell",
    fields=(
        _value("charge_limit", "highest voltage it was seen charged to"),
        _value("cut_off", "voltage at which the device stops taking current from it"),
        _value("charge_current", "highest current it was charged with"),
        _value("over_current", "current at which something stops the discharge"),
        Field(
            name="protection",
            form=Choice(PROTECTION),
            says="whether a protection circuit was found; left out where nobody looked",
        ),
        _text("note", "how it was found out"),
    ),
)
HAZARD_FIELDS: tuple[Field, ...] = (
    Field(
        name="distances",
        form=NamedEntries(_DISTANCE),
        says="distances between nets, to be held against what their voltage asks for",
    ),
    Field(name="lights", form=NamedEntries(_LIGHT), says="light that eyes or skin may meet"),
    Field(name="lasers", form=NamedEntries(_LASER), says="lasers, whose cautions are printed"),
    Field(
        name="surfaces",
        form=NamedEntries(_SURFACE),
        says="surfaces that can be touched, and how hot they get",
    ),
    Field(name="cells", form=NamedEntries(_CELL), says="what was found out about cells, by their reference"),
    Field(name="accessible", form=ListOf(_FILLED), says="nets that can be touched from outside"),
    Field(
        name="protection_class",
        form=Choice(PROTECTION_CLASSES),
        says="class of protection against electric shock: I with earth, II with double insulation, III by extra-low voltage",
    ),
)
"""Keys at the top of the file."""
