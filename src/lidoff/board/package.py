"""Land patterns: where a package's pins meet the copper, and how one is placed by two clicks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from lidoff.board.frame import BACK, FRONT, SIDES
from lidoff.board.layout import Pad, Place
from lidoff.catalogue import catalogue
from lidoff.errors import ImpossibleValue, UnknownName, nearest_name

__all__ = [
    "LONGEST_LEAD",
    "ClickSpan",
    "Land",
    "LandPattern",
    "PlacedPart",
    "all_packages",
    "click_span",
    "lands_of",
    "package",
    "place_part",
    "row_of_pads",
]

LONGEST_LEAD = 25.0
"""Free lead on either side of a body whose leads are bent to fit [mm]; common practice, no source."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Land:
    """One land of a pattern: its pin, centre and size [mm] seen from the part's side; `hole` [mm] is 0 for none."""

    pin: str
    at: Place
    size: tuple[float, float]
    round: bool = False
    hole: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LandPattern:
    """One package as the board sees it.

    Parameters
    ----------
    name : str
        The trade's name of the package.
    family : str
        The page and the list it stands on.
    lands : tuple of Land
        In the order of the pins; x to the right, y down, seen from the part's side, origin at the body's centre.
    body : tuple of float
        Width and height of the body [mm].
    body_round : bool
        Whether the body is a disc.
    clicks : tuple of str
        The two pins whose centres the analyst clicks.
    stretches : bool
        Whether the leads are bent to fit, so that the distance of the clicks sets the distance of the lands.
    colour : tuple of float
        Usual colour of the body in sRGB, 0…1.
    source : str
        Where the figures come from.
    """

    name: str
    family: str
    lands: tuple[Land, ...]
    body: tuple[float, float]
    body_round: bool = False
    clicks: tuple[str, str]
    stretches: bool = False
    colour: tuple[float, float, float] = (0.08, 0.08, 0.09)
    source: str

    @property
    def pins(self) -> tuple[str, ...]:
        """Names of the pins, each once, in order."""
        return tuple(dict.fromkeys(land.pin for land in self.lands))

    def land(self, pin: str) -> Land:
        """First land of a pin."""
        for land in self.lands:
            if land.pin == pin:
                return land
        raise UnknownName(f"package {self.name!r} has no pin {pin!r}", name=pin, known=self.pins)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlacedPart:
    """A part on the board: where its package lies, turned how, on which side.

    Parameters
    ----------
    reference : str
        Reference designator.
    package : str
        Name of the land pattern.
    side : str
        The side the part stands on.
    at : place
        Centre of the pattern [mm].
    turn : float
        Degrees clockwise as seen from the front.
    stretch : float
        Factor on the lands' places; one but for packages with bent leads.
    pads : tuple of Pad
        The lands in the board frame.
    misfit : float
        Difference of the clicked and the pattern's distance [mm]; zero where leads are bent to fit.
    """

    reference: str
    package: str
    side: str
    at: Place
    turn: float = 0.0
    stretch: float = 1.0
    pads: tuple[Pad, ...] = ()
    misfit: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ClickSpan:
    """How far apart a pattern has the lands that are clicked, and what clicks on these lands can differ from it.

    Attributes
    ----------
    own : float
        Distance of the lands' centres [mm]; all three are zero for a pattern that one click places.
    least, most : float
        Distances that two clicks can have [mm].
    """

    own: float
    least: float
    most: float


@cache
def all_packages() -> Mapping[str, LandPattern]:
    """Every known land pattern by name."""
    from lidoff.board import packages

    return catalogue(packages, of=LandPattern)


def package(name: str) -> LandPattern:
    """Land pattern of a name.

    Raises
    ------
    UnknownName
        No such package; the nearest known one is suggested.
    """
    known = all_packages()
    if name not in known:
        # Packages are written in capitals, yet typed in any case.
        near = nearest_name(name, [other.lower() for other in known])
        proper = next((other for other in known if near and other.lower() == near), "")
        remedy = f"did you mean {proper!r}?" if proper else ""
        raise UnknownName(f"package {name!r} is not known", remedy=remedy, name=name, known=known)
    return known[name]


def lands_of(
    pattern: LandPattern,
    *,
    reference: str,
    side: str,
    at: Place,
    turn: float = 0.0,
    stretch: float = 1.0,
    nets: Mapping[str, str] | None = None,
) -> PlacedPart:
    """Place a pattern by its centre and turn.

    Parameters
    ----------
    pattern : LandPattern
        What is placed.
    reference : str
        Reference designator.
    side : str
        Side of the board; the pattern is mirrored on the back.
    at : place
        Centre [mm].
    turn : float
        Degrees clockwise as seen from the front.
    stretch : float
        Factor on the lands' places.
    nets : mapping of str to str, optional
        Net of each pin, where known.

    Returns
    -------
    PlacedPart
        With the lands in the board frame; lands with holes appear on both sides.
    """
    if side not in SIDES:
        raise ImpossibleValue(f"side {side!r}", remedy=f"one of {FRONT}, {BACK}")
    nets = nets or {}
    mirror = -1.0 if side == BACK else 1.0
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    pads: list[Pad] = []
    for land in pattern.lands:
        x, y = land.at[0] * stretch * mirror, land.at[1] * stretch
        place = (at[0] + cos * x - sin * y, at[1] + sin * x + cos * y)
        pads += [
            Pad(
                side=which,
                net=nets.get(land.pin, ""),
                at=place,
                size=land.size,
                turn=turn,
                round=land.round,
                pin=f"{reference}.{land.pin}",
            )
            for which in (SIDES if land.hole > 0.0 else (side,))
        ]
    return PlacedPart(
        reference=reference,
        package=pattern.name,
        side=side,
        at=at,
        turn=turn,
        stretch=stretch,
        pads=tuple(pads),
    )


def click_span(pattern: LandPattern) -> ClickSpan:
    """Distances that the two clicks on a pattern can have.

    Parameters
    ----------
    pattern : LandPattern
        What is placed.

    Returns
    -------
    ClickSpan
        A click lies on its land, so that each may be off by half a land along the line between them. Leads that are bent to fit
        reach from lands that touch to `LONGEST_LEAD` on either side of the body.
    """
    first, second = (pattern.land(pin) for pin in pattern.clicks)
    x, y = second.at[0] - first.at[0], second.at[1] - first.at[1]
    own = math.hypot(x, y)
    if own == 0.0:
        return ClickSpan(own=0.0, least=0.0, most=0.0)
    slack = sum(
        min(size / 2.0 * own / abs(way) for size, way in zip(land.size, (x, y), strict=True) if way)
        for land in (first, second)
    )
    if pattern.stretches:
        return ClickSpan(own=own, least=slack, most=max(pattern.body) + 2.0 * LONGEST_LEAD)
    return ClickSpan(own=own, least=max(own - slack, 0.05), most=own + slack)


def place_part(name: str, *, reference: str, side: str, first: Place, second: Place) -> PlacedPart:
    """Place a package by two clicks: the centres of its two click pins.

    Parameters
    ----------
    name : str
        Package.
    reference : str
        Reference designator.
    side : str
        Side the part stands on.
    first, second : place
        Where the two click pins lie [mm, board frame]; of a package with one land, the second only tells the turn.

    Returns
    -------
    PlacedPart
        Its `misfit` tells how far the clicks were from the pattern's own distance.

    Raises
    ------
    UnknownName
        The package is not known.
    ImpossibleValue
        Both clicks fall on one place, or lie so far apart or so close that both cannot be on their lands.
    """
    pattern = package(name)
    a, b = (pattern.land(pin).at for pin in pattern.clicks)
    mirror = -1.0 if side == BACK else 1.0
    own = ((b[0] - a[0]) * mirror, b[1] - a[1])
    seen = (second[0] - first[0], second[1] - first[1])
    own_length, seen_length = math.hypot(*own), math.hypot(*seen)
    if pattern.clicks[0] == pattern.clicks[1]:
        turn = math.degrees(math.atan2(seen[1], seen[0])) if seen_length > 0.05 else 0.0
        return lands_of(pattern, reference=reference, side=side, at=first, turn=turn)
    if seen_length < 0.05:
        raise ImpossibleValue(
            f"{reference}: both clicks fall on ({first[0]:.2f}, {first[1]:.2f}) mm",
            remedy=f"click pin {pattern.clicks[0]} and then pin {pattern.clicks[1]}",
        )
    span = click_span(pattern)
    if not span.least <= seen_length <= span.most:
        lie = "are bent to" if pattern.stretches else f"lie {own_length:.2f} mm apart, clicked at"
        raise ImpossibleValue(
            f"{reference}: the clicks lie {seen_length:.2f} mm apart, and pads {pattern.clicks[0]} and {pattern.clicks[1]} "
            f"of {name} {lie} {span.least:.2f} mm to {span.most:.2f} mm",
            remedy="click the middles of these two pads, or name the body whose pads lie so far apart",
        )
    turn = math.degrees(math.atan2(seen[1], seen[0]) - math.atan2(own[1], own[0]))
    stretch = seen_length / own_length if pattern.stretches else 1.0
    middle_x, middle_y = (a[0] + b[0]) / 2 * stretch * mirror, (a[1] + b[1]) / 2 * stretch
    cos, sin = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    at = (
        (first[0] + second[0]) / 2 - (cos * middle_x - sin * middle_y),
        (first[1] + second[1]) / 2 - (sin * middle_x + cos * middle_y),
    )
    placed = lands_of(
        pattern, reference=reference, side=side, at=at, turn=(turn + 180.0) % 360.0 - 180.0, stretch=stretch
    )
    return PlacedPart(
        reference=reference,
        package=name,
        side=side,
        at=placed.at,
        turn=placed.turn,
        stretch=stretch,
        pads=placed.pads,
        misfit=0.0 if pattern.stretches else abs(seen_length - own_length),
    )


def row_of_pads(
    *,
    reference: str,
    side: str,
    first: Place,
    last: Place,
    count: int,
    size: tuple[float, float],
    hole: float = 0.0,
) -> PlacedPart:
    """Generic part: a row of equal pads from the first to the last centre.

    Parameters
    ----------
    reference : str
        Reference designator.
    side : str
        Side of the board.
    first, last : place
        Centres of the first and last pad [mm].
    count : int
        Number of pads, two or more.
    size : tuple of float
        Along and across the row [mm].
    hole : float
        Diameter of each hole [mm]; 0 for none.

    Returns
    -------
    PlacedPart
        Pins are numbered from 1.
    """
    if count < 2:
        raise ImpossibleValue(f"a row of {count} pads", remedy="two or more")
    dx, dy = last[0] - first[0], last[1] - first[1]
    turn = math.degrees(math.atan2(dy, dx))
    pads: list[Pad] = []
    for index in range(count):
        share = index / (count - 1)
        pads += [
            Pad(
                side=which,
                net="",
                at=(first[0] + share * dx, first[1] + share * dy),
                size=size,
                turn=turn,
                round=hole > 0.0,
                pin=f"{reference}.{index + 1}",
            )
            for which in (SIDES if hole > 0.0 else (side,))
        ]
    middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
    return PlacedPart(reference=reference, package="row", side=side, at=middle, turn=turn, pads=tuple(pads))
