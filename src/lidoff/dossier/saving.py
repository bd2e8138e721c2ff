"""Saving a dossier, so that a crash leaves either the old file or the new one whole."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

from lidoff.dossier.drawing import drawing_document
from lidoff.dossier.entries import Dossier, PartEntry, Publication, SituationEntry
from lidoff.dossier.formats import NEWEST
from lidoff.dossier.loading import FILE_NAME
from lidoff.dossier.logs import log_document, taken_document
from lidoff.dossier.toml_text import toml_text
from lidoff.errors import OutputRefused
from lidoff.evidence import (
    AcrossPart,
    Claim,
    FromReading,
    FromStatement,
    FromTrial,
    InPart,
    Instrument,
    IntoPin,
    NetVoltage,
    Reading,
    Source,
    Target,
    WithoutPower,
)
from lidoff.hazards import Distance

__all__ = ["document_of", "dossier_text", "flush_folder", "save_dossier", "write_whole"]

Table = dict[str, object]


def save_dossier(dossier: Dossier, path: str | Path) -> Path:
    """Write a dossier into its folder.

    The text is made anew: comments and the order of keys in an older file are not kept.

    Parameters
    ----------
    dossier : Dossier
        What to write.
    path : str or Path
        The folder, which is made if it is not there, or the ``dossier.toml`` in it.

    Returns
    -------
    Path
        The file written.

    Raises
    ------
    OutputRefused
        The folder cannot be written.
    """
    given = Path(path)
    file = given if given.suffix == ".toml" and not given.is_dir() else given / FILE_NAME
    write_whole(file, dossier_text(dossier))
    return file


def dossier_text(dossier: Dossier) -> str:
    """Text of a dossier's file.

    Parameters
    ----------
    dossier : Dossier
        What to write.

    Returns
    -------
    str
        TOML that `load_dossier` reads back to an equal dossier.
    """
    return toml_text(document_of(dossier))


def write_whole(file: Path, text: str) -> None:
    """Write a text beside the file, flush it to disk, then put it in the file's place.

    Parameters
    ----------
    file : Path
        Where it is to lie; its folder is made if needed. A link is followed.
    text : str
        What to write.

    Raises
    ------
    OutputRefused
        It could not be written; the old file is as it was.
    """
    try:
        target = file.resolve()
        target.parent.mkdir(parents=True, exist_ok=True)
        mode = target.stat().st_mode & 0o777 if target.exists() else 0o666 & ~_umask()
        handle, beside = tempfile.mkstemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent)
        try:
            with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as stream:
                stream.write(text)
                stream.flush()
                os.fsync(stream.fileno())
            Path(beside).chmod(mode)
            os.replace(beside, target)  # noqa: PTH105 - the one call that promises to replace in one step
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise
        flush_folder(target.parent)
    except (OSError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise OutputRefused(
            f"{file.name} cannot be written here ({reason})",
            where=str(file.parent),
            remedy="check the folder's permissions and the space on the disk, or name another folder",
        ) from None
    except UnicodeEncodeError as error:
        raise OutputRefused(
            f"{error.object[error.start : error.end]!r} cannot be written as UTF-8",
            where=str(file),
            remedy="remove that character",
        ) from None


def _umask() -> int:
    current = os.umask(0)
    os.umask(current)
    return current


def flush_folder(folder: Path) -> None:
    """Make what was made or renamed in a folder last, where the system can.

    Parameters
    ----------
    folder : Path
        Whose entries are to be on the disk.
    """
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def document_of(dossier: Dossier) -> Table:
    """Plain data of a dossier, as its file holds it; what is empty is left out."""
    return _filled(
        {
            "format": NEWEST,
            "invented": dossier.invented,
            "ground": dossier.ground,
            "cautions": list(dossier.cautions),
            "notes": list(dossier.notes),
            "device": _words(dossier.device),
            "publication": _publication(dossier.publication),
            "claims": {claim.name: _claim(claim) for claim in dossier.claims},
            "instruments": {one.name: _instrument(one) for one in dossier.instruments},
            "situations": {one.name: _situation(one) for one in dossier.situations},
            "readings": {reading.name: _reading(reading) for reading in dossier.readings},
            "logs": {entry.name: log_document(entry) for entry in dossier.logs},
            "trials": {trial.name: _words(trial, "name") for trial in dossier.trials},
            "rails": dict(dossier.rails),
            "parts": {part.reference: _part(part) for part in dossier.parts},
            "wires": {wire.name: _words(wire, "name") for wire in dossier.wires},
            "boards": {board.name: _words(board, "name") for board in dossier.boards},
            "distances": {one.name: _distance(one) for one in dossier.distances},
            "lights": {one.name: _words(one, "name", "content") for one in dossier.lights},
            "lasers": {one.name: _words(one, "name") for one in dossier.lasers},
            "surfaces": {one.name: _words(one, "name") for one in dossier.surfaces},
            "cells": {one.name: _words(one, "name") for one in dossier.cells},
            "accessible": list(dossier.accessible),
            "protection_class": dossier.protection_class,
            "photos": [_words(photo) for photo in dossier.photos],
            "drawing": drawing_document(dossier.drawing),
            "decisions": {one.name: _words(one, "name") for one in dossier.decisions},
        },
        keep=("device",),
    )


def _filled(table: Table, keep: tuple[str, ...] = ()) -> Table:
    return {name: value for name, value in table.items() if name in keep or value not in ("", [], {}, ())}


def _words(entry: object, *without: str) -> Table:
    """Fields of an entry that are filled, in their order."""
    names = [name for name in type(entry).__dataclass_fields__ if name not in without]  # type: ignore[attr-defined]
    found = {name: getattr(entry, name) for name in names}
    return _filled(
        {name: list(value) if isinstance(value, tuple) else value for name, value in found.items()}
    )


def _publication(publication: Publication) -> Table:
    words = {chapter: _words(said) for chapter, said in publication.words.items()}
    told = {**_words(publication, "words"), "words": words, "captions": dict(publication.captions)}
    return _filled(told)


def _instrument(instrument: Instrument) -> Table:
    words = _words(instrument, "name", "ranges")
    return _filled({**words, "ranges": [_words(span) for span in instrument.ranges]})


def _situation(situation: SituationEntry) -> Table:
    settings = {reference: dict(texts) for reference, texts in situation.settings.items()}
    return _filled({"title": situation.title, "set": settings})


def _target(target: Target) -> Table:
    if isinstance(target, NetVoltage):
        return _filled({"voltage": target.net, "against": target.against})
    if isinstance(target, WithoutPower):
        return _filled({target.range_name: target.red, "against": target.black})
    if isinstance(target, AcrossPart):
        return {"across": target.reference}
    if isinstance(target, IntoPin):
        return {"current": f"{target.reference}.{target.pin}"}
    if isinstance(target, InPart):
        return {target.what: target.reference}
    return {"quantity": target.name}


def _reading(reading: Reading) -> Table:
    shown: object = reading.shown[0] if len(reading.shown) == 1 else list(reading.shown)
    taken = {} if reading.taken is None else taken_document(reading.taken)
    return _filled(
        {
            **_target(reading.target),
            "shown": shown,
            "from_log": taken,
            "situation": reading.situation,
            "instrument": reading.instrument,
            "measures": reading.measures,
            "range": reading.on_range,
            "crest_factor": reading.crest_factor,
            "frequency": reading.frequency,
            "read_with": reading.read_with,
            "note": reading.note,
        }
    )


def _source(source: Source) -> object:
    if isinstance(source, FromReading):
        return source.reading
    if isinstance(source, FromTrial):
        return {"trial": source.trial}
    if isinstance(source, FromStatement):
        return {"value": source.value, "why": source.why}
    return {"situation": source.situation, **_target(source.target)}


def _claim(claim: Claim) -> Table:
    inputs = {role: _source(source) for role, source in claim.inputs.items()}
    return _filled({**_words(claim, "name", "inputs"), "from": inputs})


def _distance(distance: Distance) -> Table:
    return {
        name: value
        for name, value in _words(distance, "name").items()
        if (name, value) != ("insulation", "basic")
    }


def _part(part: PartEntry) -> Table:
    told = ("reference", "kind", "pins", "values", "pin_roles", "pin_names", "lands", "from_board")
    words = _words(part, *told)
    maps: dict[str, Mapping[str, str]] = {"pin_roles": part.pin_roles, "pin_names": part.pin_names}
    return {
        "kind": part.kind,
        **_filled(
            {
                "pins": {pin: net for pin, net in part.pins.items() if pin not in part.from_board},
                "lands": {
                    pin: lands[0] if len(lands) == 1 else list(lands) for pin, lands in part.lands.items()
                },
            },
            keep=() if part.from_board else ("pins",),
        ),
        **part.values,
        **_filled({name: dict(value) for name, value in maps.items()}),
        **words,
    }
