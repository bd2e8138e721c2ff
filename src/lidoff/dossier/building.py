"""Plain data of a dossier's file → `Dossier`, collecting every fault on the way."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from itertools import islice
from typing import Any, TypeVar

from lidoff.board import Board as TracedBoard
from lidoff.circuit import all_kinds, with_article
from lidoff.dossier.drawing import drawing_choices
from lidoff.dossier.entries import (
    Board,
    Decision,
    Device,
    Dossier,
    OwnWords,
    PartEntry,
    Photo,
    Publication,
    SituationEntry,
    Wire,
)
from lidoff.dossier.evidence_entries import (
    claim_entry,
    instrument_entry,
    reading_entry,
    trial_entry,
    written,
)
from lidoff.dossier.forms import ShapeFault, shape_faults
from lidoff.dossier.hazard_entries import (
    cell_entry,
    distance_entry,
    laser_entry,
    light_entry,
    surface_entry,
)
from lidoff.dossier.logs import LogEntry, log_entry
from lidoff.dossier.net_names import lands_told, names_by_pin, traced_nets
from lidoff.dossier.noted import MOST_FAULTS, Faults
from lidoff.dossier.renaming import nets_called
from lidoff.dossier.tables import DOSSIER
from lidoff.dossier.traced import merged_parts
from lidoff.dossier.verifying import verify_dossier

__all__ = ["build_dossier"]

Path = tuple[str | int, ...]
Result = TypeVar("Result")
INVENTED = "This device is invented, and so are all figures here."
PART_KEYS = (
    "kind", "pins", "lands", "value", "marking", "package", "does", "board", "stock_line", "unit_cost", "reel_cost",
    "pin_roles", "pin_names", "stands_for",
)  # fmt: skip


def build_dossier(
    document: Mapping[str, Any],
    faults: Faults,
    boards: Sequence[TracedBoard] = (),
    logs: Mapping[str, bytes] | None = None,
) -> Dossier:
    """Dossier of plain data.

    Parameters
    ----------
    document : mapping
        As the TOML reader gives it.
    faults : Faults
        Takes every fault; the result counts only if none was added.
    boards : sequence of TracedBoard, optional
        Traced boards of the dossier; their nets fill in the pins that were not typed.
    logs : mapping of str to bytes, optional
        Files of logs by path inside the folder; None where they were not looked for.

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
    parts = _entries(whole, "parts", faults, _part)
    if boards:
        by_pin = names_by_pin(traced_nets(parts, boards), boards)
        whole = nets_called(whole, by_pin)
        parts = tuple(
            replace(part, pins={pin: by_pin.get(net, net) for pin, net in part.pins.items()})
            for part in parts
        )
    dossier = Dossier(
        device=Device(**whole.get("device", {"title": ""})),
        claims=_entries(whole, "claims", faults, claim_entry),
        instruments=_entries(whole, "instruments", faults, instrument_entry),
        situations=_entries(whole, "situations", faults, _situation(whole.get("parts", {}))),
        readings=_entries(whole, "readings", faults, reading_entry),
        logs=_entries(whole, "logs", faults, _log(logs)),
        trials=_entries(whole, "trials", faults, trial_entry),
        parts=merged_parts(parts, boards)[0],
        traced=tuple(boards),
        wires=_entries(whole, "wires", faults, _wire),
        boards=_entries(whole, "boards", faults, _board),
        distances=_entries(whole, "distances", faults, distance_entry),
        lights=_entries(whole, "lights", faults, light_entry(logs)),
        lasers=_entries(whole, "lasers", faults, laser_entry),
        surfaces=_entries(whole, "surfaces", faults, surface_entry),
        cells=_entries(whole, "cells", faults, cell_entry),
        accessible=tuple(whole.get("accessible", ())),
        protection_class=whole.get("protection_class", ""),
        photos=tuple(Photo(**table) for table in whole.get("photos", ())),
        ground=whole.get("ground", "gnd"),
        rails=whole.get("rails", {}),
        notes=tuple(whole.get("notes", ())),
        cautions=tuple(whole.get("cautions", ())),
        invented=_invented(whole.get("invented", "")),
        publication=_publication(whole.get("publication", {})),
        drawing=drawing_choices(whole.get("drawing", {})),
        decisions=_entries(whole, "decisions", faults, _decision),
    )
    verify_dossier(dossier, faults, broken, logs_looked_for=logs is not None)
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


def _situation(parts: Mapping[str, Any]) -> Builder[SituationEntry]:
    """Builder of situations; a bare word or value sets the main value of a part's kind."""

    def build(name: str, table: dict[str, Any], path: Path, faults: Faults) -> SituationEntry | None:
        settings: dict[str, dict[str, str]] = {}
        for reference, given in table.get("set", {}).items():
            if isinstance(given, Mapping):
                settings[reference] = {key: written(value) for key, value in given.items()}
                continue
            kind = all_kinds().get(parts.get(reference, {}).get("kind", ""))
            if kind is not None and not kind.main_value:
                faults.add(
                    (*path, "set", reference),
                    f"{reference} is {with_article(kind.title)}, which has no one value to set",
                    f'name what is set: {reference} = {{ … = "{written(given)}" }}',
                )
                continue
            main = kind.main_value if kind is not None else "value"
            settings[reference] = {main: written(given)}
            faults.written_as((*path, "set", reference, main), (*path, "set", reference))
        return SituationEntry(name=name, title=table.get("title", ""), settings=settings)

    return build


def _log(contents: Mapping[str, bytes] | None) -> Builder[LogEntry]:
    """Builder of logs, with their files."""

    def build(name: str, table: dict[str, Any], path: Path, faults: Faults) -> LogEntry:  # noqa: ARG001
        return log_entry(name, table, contents)

    return build


def _part(name: str, table: dict[str, Any], path: Path, faults: Faults) -> PartEntry | None:
    values = {key: written(value) for key, value in table.items() if key not in PART_KEYS}
    if "value" in table:
        kind = all_kinds().get(table["kind"])
        main = kind.main_value if kind is not None else ""
        if kind is not None and not main:
            faults.add(
                (*path, "value"),
                f"{with_article(kind.title)} has no one value",
                "name the parameter that is meant",
            )
        elif main in values:
            faults.add((*path, "value"), f"value and {main} say the same thing", "keep one of the two")
        else:
            values = {main: written(table["value"]), **values}
            faults.written_as((*path, main), (*path, "value"))
    words = {
        key: table[key]
        for key in PART_KEYS
        if key in table and key not in ("kind", "pins", "value", "lands", "stands_for")
    }
    return PartEntry(
        lands=lands_told(table.get("lands", {})),
        reference=name,
        kind=table["kind"],
        pins=table.get("pins", {}),
        values=values,
        stands_for=tuple(table.get("stands_for", ())),
        **words,
    )


def _wire(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Wire | None:  # noqa: ARG001
    return Wire(**(table | {"name": name, "joins": tuple(table["joins"])}))


def _publication(table: dict[str, Any]) -> Publication:
    words = {chapter: OwnWords(**said) for chapter, said in table.get("words", {}).items()}
    lists = {key: tuple(table[key]) for key in ("units", "stills") if key in table}
    return Publication(**(table | lists | {"words": words}))


def _board(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Board:  # noqa: ARG001
    return Board(name=name, **_told(table))


def _decision(name: str, table: dict[str, Any], path: Path, faults: Faults) -> Decision:  # noqa: ARG001
    lists = {key: tuple(value) for key, value in table.items() if isinstance(value, list)}
    return Decision(**(table | lists | {"name": name}))


def _told(table: dict[str, Any], *lists: str) -> dict[str, Any]:
    return {key: tuple(value) if key in lists else written(value) for key, value in table.items()}
