"""Plain data of a dossier's file → `Dossier`, collecting every fault on the way."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import islice
from typing import Any, TypeVar

from lidoff.circuit import all_kinds
from lidoff.dossier.entries import (
    Board,
    Device,
    Dossier,
    PartEntry,
    Photo,
    Publication,
    SituationEntry,
    Wire,
)
from lidoff.dossier.forms import ShapeFault, shape_faults
from lidoff.dossier.lines import line_of
from lidoff.dossier.tables import DOSSIER
from lidoff.dossier.verifying import verify_dossier
from lidoff.errors import DossierError, LidoffError
from lidoff.evidence import (
    AcrossPart,
    Claim,
    FromReading,
    FromSolution,
    FromStatement,
    InPart,
    Instrument,
    IntoPin,
    NamedQuantity,
    NetVoltage,
    Range,
    Reading,
    Source,
    Target,
    Trial,
)
from lidoff.hazards import Distance, Light

__all__ = ["Faults", "build_dossier"]

Path = tuple[str | int, ...]
Result = TypeVar("Result")
MOST_FAULTS = 100
"""Faults told of one file; nobody reads more, and a file that is no dossier at all has thousands."""
INVENTED = "This device is invented, and so are all figures here."
PART_KEYS = ("kind", "pins", "value", "marking", "package", "does", "board", "pin_roles", "pin_names")


class Faults:
    """Faults found so far, each with file, line and key."""

    def __init__(self, file: str, lines: Callable[[], Mapping[Path, int]]) -> None:
        self._file = file
        self._find_lines = lines
        self._lines: Mapping[Path, int] | None = None
        self._found: list[tuple[int, DossierError]] = []
        self._written_as: dict[Path, Path] = {}

    def written_as(self, path: Path, key: Path) -> None:
        """Tell faults of a key that stands in the file under another one."""
        self._written_as[path] = key

    def add(self, path: Path, what: str, remedy: str = "") -> None:
        """Note a fault at a key."""
        if self._lines is None:
            self._lines = self._find_lines()
        path = self._written_as.get(path, path)
        line = line_of(path, self._lines)
        key = ".".join(str(name) for name in path)
        where = f"{self._file}, line {line}" + (f", {key}" if key else "")
        self._found.append((line, DossierError(what, where=where, remedy=remedy)))

    def attempt(self, path: Path, function: Callable[[], Result]) -> Result | None:
        """Result of a function, or None after noting the error it raises."""
        try:
            return function()
        except LidoffError as error:
            self.add(path, error.what, error.remedy)
            return None

    def __bool__(self) -> bool:
        return bool(self._found)

    def raise_if_any(self) -> None:
        """Raise one error for all faults.

        Raises
        ------
        DossierError
            There are faults.
        """
        faults = [fault for _, fault in sorted(self._found, key=lambda found: found[0])]
        if len(faults) == 1:
            raise faults[0]
        if len(faults) > MOST_FAULTS:
            raise DossierError(
                f"more than {MOST_FAULTS} faults, of which these are the first",
                where=self._file,
                remedy="check that this is a dossier",
                faults=faults[:MOST_FAULTS],
            )
        if faults:
            raise DossierError(f"{len(faults)} faults", where=self._file, faults=faults)


def build_dossier(document: Mapping[str, Any], faults: Faults) -> Dossier:
    """Dossier of plain data.

    Parameters
    ----------
    document : mapping
        As the TOML reader gives it.
    faults : Faults
        Takes every fault; the result counts only if none was added.

    Returns
    -------
    Dossier
        What could be read.
    """
    shape: list[ShapeFault] = list(islice(shape_faults(document, DOSSIER), MOST_FAULTS + 1))
    for fault in shape:
        faults.add(fault.path, fault.what, fault.remedy)
    if len(shape) > MOST_FAULTS:
        faults.raise_if_any()  # the rest was not looked at, so nothing can be built of it
    broken = {fault.path[:2] for fault in shape}
    whole = _without(document, broken)
    dossier = Dossier(
        device=Device(**whole.get("device", {"title": ""})),
        claims=_entries(whole, "claims", faults, _claim),
        instruments=_entries(whole, "instruments", faults, _instrument),
        situations=_entries(whole, "situations", faults, _situation(whole.get("parts", {}))),
        readings=_entries(whole, "readings", faults, _reading),
        trials=_entries(whole, "trials", faults, _trial),
        parts=_entries(whole, "parts", faults, _part),
        wires=_entries(whole, "wires", faults, _wire),
        boards=_entries(whole, "boards", faults, _board),
        distances=_entries(whole, "distances", faults, _distance),
        lights=_entries(whole, "light", faults, _light),
        photos=tuple(Photo(**table) for table in whole.get("photos", ())),
        ground=whole.get("ground", "gnd"),
        rails=whole.get("rails", {}),
        notes=tuple(whole.get("notes", ())),
        cautions=tuple(whole.get("cautions", ())),
        invented=_invented(whole.get("invented", "")),
        publication=Publication(**whole.get("publication", {})),
    )
    verify_dossier(dossier, faults, broken)
    return dossier


def _without(document: Mapping[str, Any], broken: set[Path]) -> dict[str, Any]:
    """Document without the entries that are not of their form."""
    whole: dict[str, Any] = {}
    for section, content in document.items():
        if (section,) in broken:
            continue
        if isinstance(content, Mapping):
            whole[section] = {name: entry for name, entry in content.items() if (section, name) not in broken}
        elif isinstance(content, list):
            whole[section] = [
                entry for number, entry in enumerate(content) if (section, number) not in broken
            ]
        else:
            whole[section] = content
    if "title" not in whole.get("device", {}):
        whole["device"] = {"title": ""}
    return whole


Builder = Callable[[str, dict[str, Any], Path, Faults], Result | None]


def _entries(
    whole: Mapping[str, Any], section: str, faults: Faults, build: Builder[Result]
) -> tuple[Result, ...]:
    built = (build(name, table, (section, name), faults) for name, table in whole.get(section, {}).items())
    return tuple(entry for entry in built if entry is not None)


def _invented(given: bool | str) -> str:
    if isinstance(given, bool):
        return INVENTED if given else ""
    return given


def _written(value: str | float) -> str:
    return value if isinstance(value, str) else str(value)


def _instrument(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Instrument | None:  # noqa: ARG001
    ranges = tuple(
        Range(**{key: _written(value) for key, value in span.items()}) for span in table.get("ranges", ())
    )
    words = {key: _written(value) for key, value in table.items() if key != "ranges"}
    return Instrument(name=name, ranges=ranges, **words)


def _situation(parts: Mapping[str, Any]) -> Builder[SituationEntry]:
    """Builder of situations; a bare word or value sets the main value of a part's kind."""

    def build(name: str, table: dict[str, Any], path: Path, faults: Faults) -> SituationEntry | None:
        settings: dict[str, dict[str, str]] = {}
        for reference, given in table.get("set", {}).items():
            if isinstance(given, Mapping):
                settings[reference] = {key: _written(value) for key, value in given.items()}
                continue
            kind = all_kinds().get(parts.get(reference, {}).get("kind", ""))
            if kind is not None and not kind.main_value:
                faults.add(
                    (*path, "set", reference),
                    f"{reference} is a {kind.title}, which has no one value to set",
                    f'name what is set: {reference} = {{ … = "{_written(given)}" }}',
                )
                continue
            main = kind.main_value if kind is not None else "value"
            settings[reference] = {main: _written(given)}
            faults.written_as((*path, "set", reference, main), (*path, "set", reference))
        return SituationEntry(name=name, title=table.get("title", ""), settings=settings)

    return build


def _reading(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Reading | None:
    target = _target(table, path, faults, "the reading")
    if target is None:
        return None
    shown = table["shown"] if isinstance(table["shown"], list) else [table["shown"]]
    return Reading(
        name=name,
        target=target,
        shown=tuple(_written(value) for value in shown),
        situation=table.get("situation", ""),
        instrument=table.get("instrument", ""),
        measures=table.get("measures", ""),
        on_range=_written(table.get("range", "")),
        note=table.get("note", ""),
    )


def _target(table: Mapping[str, Any], path: Path, faults: Faults, whose: str) -> Target | None:
    """What a reading or a claim's input is about; exactly one of the five keys."""
    keys = [key for key in ("voltage", "across", "current", "power", "quantity") if key in table]
    if len(keys) != 1:
        told = " and ".join(keys) if keys else "nothing"
        faults.add(
            path,
            f"{whose} is about {told}",
            'say one thing: voltage = "net", across = "R3", current = "R3", power = "R3" or quantity = "…"',
        )
        return None
    key = keys[0]
    if "against" in table and key != "voltage":
        faults.add((*path, "against"), "against goes with voltage only", "leave it out")
    named = str(table[key])
    if key == "voltage":
        return NetVoltage(net=named, against=table.get("against", ""))
    if key == "across":
        return AcrossPart(reference=named)
    if key == "quantity":
        return NamedQuantity(name=named)
    if key == "current" and "." in named:
        reference, _, pin = named.partition(".")
        return IntoPin(reference=reference, pin=pin)
    return InPart(what=key, reference=named)


def _claim(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Claim | None:
    inputs: dict[str, Source] = {}
    for role, given in table.get("from", {}).items():
        if isinstance(given, str):
            inputs[role] = FromReading(reading=given)
        elif "value" in given:
            inputs[role] = FromStatement(value=_written(given["value"]), why=given["why"])
        else:
            target = _target(given, (*path, "from", role), faults, "the input")
            if target is not None:
                inputs[role] = FromSolution(situation=given["situation"], target=target)
    words = {key: _written(value) for key, value in table.items() if key != "from"}
    return Claim(name=name, inputs=inputs, **words)


def _part(name: str, table: dict[str, Any], path: Path, faults: Faults) -> PartEntry | None:
    values = {key: _written(value) for key, value in table.items() if key not in PART_KEYS}
    if "value" in table:
        kind = all_kinds().get(table["kind"])
        main = kind.main_value if kind is not None else ""
        if kind is not None and not main:
            faults.add(
                (*path, "value"), f"a {kind.title} has no one value", "name the parameter that is meant"
            )
        elif main in values:
            faults.add((*path, "value"), f"value and {main} say the same thing", "keep one of the two")
        else:
            values = {main: _written(table["value"]), **values}
            faults.written_as((*path, main), (*path, "value"))
    words = {key: table[key] for key in PART_KEYS if key in table and key not in ("kind", "pins", "value")}
    return PartEntry(reference=name, kind=table["kind"], pins=table["pins"], values=values, **words)


def _wire(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Wire | None:  # noqa: ARG001
    return Wire(**{**table, "name": name, "joins": tuple(table["joins"])})


def _trial(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Trial:  # noqa: ARG001
    return Trial(name=name, **table)


def _board(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Board:  # noqa: ARG001
    return Board(name=name, **table)


def _told(table: dict[str, Any], *lists: str) -> dict[str, Any]:
    return {key: tuple(value) if key in lists else _written(value) for key, value in table.items()}


def _distance(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Distance:  # noqa: ARG001
    return Distance(name=name, **_told(table, "between"))


def _light(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Light:  # noqa: ARG001
    return Light(name=name, **_told(table, "parts"))
