"""What a dossier holds, as written by the analyst: texts stay texts, numbers are derived from them where they are needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lidoff.evidence import Claim, Instrument, Reading, Trial
from lidoff.hazards import Distance, Light

__all__ = ["Board", "Device", "Dossier", "PartEntry", "Photo", "Publication", "SituationEntry", "Wire"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Device:
    """The gadget on the bench.

    Attributes
    ----------
    title : str
        What it is.
    maker, model, bought, price : str
        As known; empty where not.
    summary : str
        What it does, in a sentence or two.
    """

    title: str
    maker: str = ""
    model: str = ""
    bought: str = ""
    price: str = ""
    summary: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartEntry:
    """One part, as written.

    Attributes
    ----------
    reference : str
        Reference designator, such as ``R3``.
    kind : str
        Name of its kind.
    pins : mapping of str to str
        Net of each pin.
    values : mapping of str to str
        Text of each parameter that is known, such as ``{"resistance": "4k7 ± 5 %"}``; the ± are tolerance limits.
    pin_roles, pin_names : mapping of str to str
        For boxes and controllers: role and label of pins.
    marking, package, does, board : str
        What is printed on it, its body, what it does here, and the board it sits on.
    """

    reference: str
    kind: str
    pins: Mapping[str, str]
    values: Mapping[str, str] = field(default_factory=dict)
    pin_roles: Mapping[str, str] = field(default_factory=dict)
    pin_names: Mapping[str, str] = field(default_factory=dict)
    marking: str = ""
    package: str = ""
    does: str = ""
    board: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SituationEntry:
    """One situation, as written.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    title : str
        One line for the reader.
    settings : mapping of str to mapping of str to str
        By reference: text of each parameter that is set.
    """

    name: str
    title: str = ""
    settings: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A wire that makes one net of several, such as between two boards.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    joins : tuple of str
        Nets that it joins.
    colour, does : str
        In words.
    """

    name: str
    joins: tuple[str, ...]
    colour: str = ""
    does: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """One circuit board of the device."""

    name: str
    title: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """One photo in the dossier's folder.

    Attributes
    ----------
    file : str
        Path inside the folder, with ``/``.
    board, side : str
        What it shows; `side` is ``front``, ``back`` or empty.
    caption : str
        For the reader.
    """

    file: str
    board: str = ""
    side: str = ""
    caption: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """What is printed about the report itself."""

    title: str = ""
    author: str = ""
    date: str = ""
    licence: str = ""
    summary: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier:
    """All that is known of one device.

    Attributes
    ----------
    device : Device
    claims, instruments, situations, readings, trials, parts, wires, boards, photos, distances, lights : tuples
        In the order of the file.
    ground : str
        Net that voltages are told against.
    rails : mapping of str to str
        Role of nets: ``supply``, ``ground`` or ``signal``.
    notes : tuple of str
        Anything else, one paragraph each.
    cautions : tuple of str
        Words of `lidoff.evidence.CAUTIONS` that the report prints.
    invented : str
        That the device is made up, in words; empty for a real one.
    publication : Publication
    """

    device: Device
    claims: tuple[Claim, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    situations: tuple[SituationEntry, ...] = ()
    readings: tuple[Reading, ...] = ()
    trials: tuple[Trial, ...] = ()
    parts: tuple[PartEntry, ...] = ()
    wires: tuple[Wire, ...] = ()
    boards: tuple[Board, ...] = ()
    photos: tuple[Photo, ...] = ()
    distances: tuple[Distance, ...] = ()
    lights: tuple[Light, ...] = ()
    ground: str = "gnd"
    rails: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    invented: str = ""
    publication: Publication = field(default_factory=Publication)
