"""What a dossier tells the hazard checks: built of plain data, and verified where the forms cannot."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import TYPE_CHECKING, Any, Protocol

from lidoff.circuit import all_kinds
from lidoff.dossier.wiring import bare_part
from lidoff.errors import UnknownName
from lidoff.hazards import (
    CELL_UNITS,
    DISTANCE_UNITS,
    LASER_UNITS,
    LIGHT_UNITS,
    SURFACE_UNITS,
    CellTold,
    Distance,
    Laser,
    Light,
    Surface,
    is_cell,
    measured_spectrum,
)
from lidoff.quantities import Quantity

if TYPE_CHECKING:
    from lidoff.dossier.entries import Dossier

__all__ = [
    "cell_entry",
    "distance_entry",
    "laser_entry",
    "light_entry",
    "surface_entry",
    "verify_told",
]

Path = tuple[str | int, ...]
Known = Callable[[str, str, Path], bool]
"""Whether a name of a sort is empty or known; notes a fault where it is neither."""


class _Collector(Protocol):
    def add(self, path: Path, what: str, remedy: str = "") -> None: ...

    def attempt(self, path: Path, function: Callable[[], object]) -> object | None: ...


def _told(table: Mapping[str, Any]) -> dict[str, Any]:
    """Values as the analyst wrote them; lists as tuples."""
    return {
        key: tuple(value) if isinstance(value, list) else value if isinstance(value, str) else str(value)
        for key, value in table.items()
    }


def distance_entry(name: str, table: dict[str, Any], path: Path, faults: _Collector) -> Distance:  # noqa: ARG001
    """Distance of its table."""
    return Distance(name=name, **_told(table))


def laser_entry(name: str, table: dict[str, Any], path: Path, faults: _Collector) -> Laser:  # noqa: ARG001
    """Laser of its table."""
    return Laser(name=name, **_told(table))


def surface_entry(name: str, table: dict[str, Any], path: Path, faults: _Collector) -> Surface:  # noqa: ARG001
    """Surface of its table."""
    return Surface(name=name, **_told(table))


def cell_entry(name: str, table: dict[str, Any], path: Path, faults: _Collector) -> CellTold:  # noqa: ARG001
    """What was found out about a cell, of its table."""
    return CellTold(name=name, **_told(table))


def light_entry(files: Mapping[str, bytes] | None) -> Callable[..., Light]:
    """Builder of lights; a measured spectrum is taken from the files of the folder.

    Parameters
    ----------
    files : mapping of str to bytes or None
        By path inside the folder; None where they were not looked for.

    Returns
    -------
    callable
        As the other builders here.
    """

    def build(name: str, table: dict[str, Any], path: Path, faults: _Collector) -> Light:
        light = Light(name=name, content=(files or {}).get(table.get("spectrum", "")), **_told(table))
        if light.spectrum and files is not None and light.content is None:
            faults.add(
                (*path, "spectrum"),
                f"there is no file {light.spectrum!r} in the folder's logs",
                'copy it there and name it from the folder, such as "logs/lamp.csv"',
            )
        return light

    return build


def verify_told(dossier: Dossier, faults: _Collector, known: Known) -> None:
    """Note what cannot be read, and names that are not there.

    Parameters
    ----------
    dossier : Dossier
    faults : collector of faults
    known : callable (name, sort of name, path) → bool
        Notes a fault for a name that is not known.
    """
    for distance in dossier.distances:
        _verify_distance(distance, faults, known)
    for light in dossier.lights:
        _verify_light(light, faults, known)
    for laser in dossier.lasers:
        _parts(laser.parts, ("lasers", laser.name), known)
        _above_zero(("lasers", laser.name), laser.read, LASER_UNITS, faults)
    surfaces = {surface.name: surface for surface in dossier.surfaces}
    for surface in dossier.surfaces:
        _verify_surface(surface, faults, known)
        _verify_chain(surface, surfaces, faults)
    kinds = {part.reference: part for part in dossier.parts}
    for cell in dossier.cells:
        entry = kinds.get(cell.name)
        if entry is None:
            known(cell.name, "part", ("cells", cell.name))
        elif entry.kind in all_kinds() and not is_cell(bare_part(entry)):
            faults.add(
                ("cells", cell.name),
                f"{cell.name} is a {all_kinds()[entry.kind].title}, and no cell",
                "name a cell or battery of the circuit",
            )
        _above_zero(("cells", cell.name), cell.read, CELL_UNITS, faults)
    for net in dossier.accessible:
        known(net, "net", ("accessible",))


def _verify_distance(distance: Distance, faults: _Collector, known: Known) -> None:
    path: Path = ("distances", distance.name)
    if len(set(distance.between)) != 2 or len(distance.between) != 2:
        faults.add((*path, "between"), "a distance lies between two nets", "name two different nets")
    for net in distance.between:
        if not distance.working_voltage:
            known(net, "net", (*path, "between"))
    if not (distance.creepage or distance.clearance or distance.board):
        faults.add(
            path,
            "the distance tells neither creepage nor clearance",
            'add creepage = "2 mm ± 0.2 mm", or board = … of a traced board to measure on',
        )
    _above_zero(path, distance.read, DISTANCE_UNITS, faults)


def _verify_light(light: Light, faults: _Collector, known: Known) -> None:
    path: Path = ("lights", light.name)
    _parts(light.parts, path, known)
    shape = ("peak", "width") if not light.colour_temperature else ()
    missing = [key for key in shape if not getattr(light, key)]
    powers = [key for key in ("radiant_power", "luminous_flux") if getattr(light, key)]
    if light.content is not None:
        faults.attempt((*path, "spectrum"), partial(measured_spectrum, light.content))
    if not light.spectrum:
        for key in missing:
            faults.add(
                path, f"a light has no {key}", f'add {key} = "…", or spectrum = "logs/….csv" as measured'
            )
        if len(powers) != 1:
            faults.add(
                path,
                "a light tells its power once, as radiant_power or as luminous_flux",
                'add radiant_power = "0.3 W ± 40 %"' if not powers else "leave one of them out",
            )
    _above_zero(path, light.read, LIGHT_UNITS, faults)


def _verify_surface(surface: Surface, faults: _Collector, known: Known) -> None:
    path: Path = ("surfaces", surface.name)
    _parts(surface.parts, path, known)
    known(surface.reading, "reading", (*path, "reading"))
    known(surface.situation, "situation", (*path, "situation"))
    ways = [key for key in ("temperature", "reading", "resistance") if getattr(surface, key)]
    if len(ways) != 1:
        faults.add(
            path,
            "a surface has one of temperature, reading and resistance",
            'add temperature = "51 °C ± 2 °C" as measured'
            if not ways
            else f"leave out {' or '.join(ways[1:])}",
        )
    for key in SURFACE_UNITS:
        faults.attempt((*path, key), partial(surface.read, key))


def _verify_chain(surface: Surface, surfaces: Mapping[str, Surface], faults: _Collector) -> None:
    """Note a surface whose heat goes on to one that is not there, or back to itself."""
    path: Path = ("surfaces", surface.name, "to")
    if surface.to and surface.to not in surfaces:
        error = UnknownName(f"there is no surface {surface.to!r}", name=surface.to, known=surfaces)
        faults.add(path, error.what, error.remedy)
        return
    passed = {surface.name}
    following = surface.to
    while following:
        if following in passed:
            faults.add(
                path, f"the heat of {surface.name} comes back to itself", "let one of them end in the room"
            )
            return
        passed.add(following)
        following = surfaces[following].to if following in surfaces else ""


def _parts(references: tuple[str, ...], path: Path, known: Known) -> None:
    for reference in references:
        known(reference, "part", (*path, "parts"))


def _above_zero(
    path: Path, read: Callable[[str], Quantity | None], units: Mapping[str, str], faults: _Collector
) -> None:
    """Note texts that cannot be read, and quantities that are not above zero."""
    for key in units:
        quantity = faults.attempt((*path, key), partial(read, key))
        if isinstance(quantity, Quantity) and quantity.value <= 0.0:
            faults.add((*path, key), f"{key} is {quantity}", "give a value above zero")
