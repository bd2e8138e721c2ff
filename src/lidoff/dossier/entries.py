"""What a dossier holds, as written by the analyst: texts stay texts, numbers are derived from them where they are needed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from lidoff.board import Board as TracedBoard
from lidoff.dossier.drawing import DrawingChoices
from lidoff.dossier.formats import NEWEST
from lidoff.dossier.logs import LogEntry
from lidoff.dossier.photo_files import UnusablePhoto
from lidoff.evidence import Claim, Instrument, Reading, Trial
from lidoff.hazards import CellTold, Distance, Laser, Light, Surface

__all__ = [
    "Board",
    "Decision",
    "Device",
    "Dossier",
    "OwnWords",
    "PartEntry",
    "Photo",
    "Publication",
    "SituationEntry",
    "Wire",
]


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
        Net of each pin: as typed, and where nothing was typed, as the traced board tells.
    values : mapping of str to str
        Text of each parameter that is known, such as ``{"resistance": "4k7 ± 5 %"}``; the ± are tolerance limits.
    pin_roles, pin_names : mapping of str to str
        For boxes and controllers: role and label of pins.
    marking, package, does, board : str
        What is printed on it, its body, what it does here, and the board it sits on.
    lands : mapping of str to tuple of str
        For parts of a traced board: the lands of its package that each pin lies on, where they bear other names.
    from_board : tuple of str
        Pins whose net the traced board told.
    stands_for : tuple of str
        For a steady supply that is no part of the device: the parts that it stands for on average.
    stock_line, unit_cost, reel_cost : str
        Where such a part can be had, and what one and a reel of them cost, in words.
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
    stock_line: str = ""
    unit_cost: str = ""
    reel_cost: str = ""
    lands: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    from_board: tuple[str, ...] = ()
    stands_for: tuple[str, ...] = ()


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
    """One circuit board of the device.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    title : str
        What it is.
    width, height, thickness : str
        Its edges and its laminate as measured, such as ``38 mm``; empty where not told.
    """

    name: str
    title: str = ""
    width: str = ""
    height: str = ""
    thickness: str = ""


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
    shows : str
        ``close-up`` where it shows a part of the side only; else empty.
    """

    file: str
    board: str = ""
    side: str = ""
    caption: str = ""
    shows: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnWords:
    """The analyst's own words for one chapter, as Markdown.

    Attributes
    ----------
    before : str
        At the head of the chapter.
    instead : str
        In place of what the chapter would say.
    """

    before: str = ""
    instead: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Publication:
    """What is printed about the report itself, and how.

    Attributes
    ----------
    title, author, date, licence, summary : str
        As they are to be printed.
    numbers : {"", "point", "comma"}
        Decimal sign of numbers with units.
    units : tuple of str
        Units to print in.
    words : mapping of str to OwnWords
        By chapter of the report.
    stills : tuple of str
        Scenes or stills in their order; empty for the usual one.
    captions : mapping of str to str
        By still.
    """

    title: str = ""
    author: str = ""
    date: str = ""
    licence: str = ""
    summary: str = ""
    numbers: str = ""
    units: tuple[str, ...] = ()
    words: Mapping[str, OwnWords] = field(default_factory=dict)
    stills: tuple[str, ...] = ()
    captions: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What the analyst said of one finding, told by its name and what it is about.

    Attributes
    ----------
    name : str
        Its name in the dossier.
    finding : str
        Name of the finding.
    says : str
        ``accepted`` or ``dismissed``.
    reason : str
        Why.
    parts, nets, claims, readings, situations : tuple of str
        What the finding is about.
    """

    name: str
    finding: str
    says: str
    reason: str = ""
    parts: tuple[str, ...] = ()
    nets: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    readings: tuple[str, ...] = ()
    situations: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Dossier:
    """All that is known of one device.

    Attributes
    ----------
    device : Device
    claims, instruments, situations, readings, logs, trials, parts, wires, boards, photos, decisions : tuples
        In the order of the file.
    distances, lights, lasers, surfaces, cells : tuples
        What only the hazard checks look at.
    accessible : tuple of str
        Nets that can be touched from outside.
    protection_class : str
        As printed on the device; empty where not told.
    ground : str
        Net that voltages are told against.
    rails : mapping of str to str
        Role of nets: ``supply``, ``ground`` or ``signal``.
    notes : tuple of str
        Anything else, one paragraph each.
    cautions : tuple of str
        Words of `lidoff.evidence.CAUTIONS` that the report prints.
    traced : tuple of TracedBoard
        Boards as traced from photos, from ``boards/``; no part of comparisons, since registrations hold arrays.
    unusable_photos : tuple of UnusablePhoto
        Of its `photos`, as the folder was when it was loaded; no part of comparisons, and empty where none was looked for.
    drawing : DrawingChoices
        What was chosen about the schematic.
    invented : str
        That the device is made up, in words; empty for a real one.
    publication : Publication
    written_in : int
        Version of the format that its file is in; no part of comparisons, since it says nothing of the device.
    """

    device: Device
    claims: tuple[Claim, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    situations: tuple[SituationEntry, ...] = ()
    readings: tuple[Reading, ...] = ()
    logs: tuple[LogEntry, ...] = ()
    trials: tuple[Trial, ...] = ()
    parts: tuple[PartEntry, ...] = ()
    wires: tuple[Wire, ...] = ()
    boards: tuple[Board, ...] = ()
    photos: tuple[Photo, ...] = ()
    distances: tuple[Distance, ...] = ()
    lights: tuple[Light, ...] = ()
    lasers: tuple[Laser, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    cells: tuple[CellTold, ...] = ()
    accessible: tuple[str, ...] = ()
    protection_class: str = ""
    ground: str = "gnd"
    rails: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    invented: str = ""
    traced: tuple[TracedBoard, ...] = field(default=(), compare=False)
    unusable_photos: tuple[UnusablePhoto, ...] = field(default=(), compare=False)
    publication: Publication = field(default_factory=Publication)
    drawing: DrawingChoices = field(default_factory=DrawingChoices)
    decisions: tuple[Decision, ...] = ()
    written_in: int = field(default=NEWEST, compare=False)
