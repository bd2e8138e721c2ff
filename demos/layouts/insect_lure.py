"""The board of the demo of the insect lure: a one-sided ring, 74 mm across; invented, like the device."""

from __future__ import annotations

import math
from collections.abc import Iterator

from lidoff.board import (
    BACK,
    BRIDGE,
    CUT,
    FRONT,
    Body,
    Hole,
    Layout,
    Legend,
    Pad,
    Place,
    Track,
    View,
    package,
    place_part,
)

from ..board_truth import BoardTruth, one_sided

OUTER, INNER = 37.0, 30.0
CENTRE = (37.0, 37.0)
RAIL, ANODES, BYPASS, CATHODES, GROUND = 36.2, 34.44, 33.2, 31.9, 30.8  # radii of copper [mm]
SLOT = 19.5  # arc from one pair of LEDs to the next, at the radius of the anodes [mm]


def at(along: float, radius: float) -> Place:
    """Place at an arc length along the ring of anodes, and a radius [mm]."""
    angle = along / ANODES - math.pi / 2
    return (
        round(CENTRE[0] + radius * math.cos(angle), 4),
        round(CENTRE[1] + radius * math.sin(angle), 4),
    )


def ring(radius: float) -> tuple[Place, ...]:
    """A whole circle."""
    full = 2 * math.pi * ANODES
    return tuple(at(full * step / 120, radius) for step in range(120))


def arc(net: str, first: float, last: float, radius: float, width: float) -> Track:
    """Copper along the ring."""
    steps = max(2, math.ceil(abs(last - first) / 1.2) + 1)
    points = tuple(at(first + (last - first) * step / (steps - 1), radius) for step in range(steps))
    return Track(side=BACK, net=net, points=points, width=width)


def spoke(net: str, along: float, first: float, last: float, width: float = 0.5) -> Track:
    """Copper along a radius."""
    return Track(side=BACK, net=net, points=(at(along, first), at(along, last)), width=width)


class _Board:
    """Parts and copper of the ring, gathered."""

    def __init__(self) -> None:
        self.tracks: list[Track] = []
        self.pads: list[Pad] = []
        self.holes: list[Hole] = []
        self.bodies: list[Body] = []
        self.legends: list[Legend] = []

    def put(
        self, reference: str, kind: str, first: Place, second: Place, nets: dict[str, str], marking: str = ""
    ) -> None:
        """Place a part by its two click pins; what has leads stands on the front."""
        pattern = package(kind)
        leaded = any(land.hole > 0.0 for land in pattern.lands)
        side = FRONT if leaded else BACK
        placed = place_part(kind, reference=reference, side=side, first=first, second=second)
        for pad in placed.pads:
            net = nets[pad.pin.rpartition(".")[2]]
            self.pads.append(
                Pad(
                    side=pad.side,
                    net=net,
                    at=pad.at,
                    size=pad.size,
                    turn=pad.turn,
                    round=pad.round,
                    pin=pad.pin,
                )
            )
        if leaded:
            sizes = {f"{reference}.{land.pin}": land.hole for land in pattern.lands}
            self.holes += [
                Hole(at=pad.at, diameter=sizes[pad.pin], net=nets[pad.pin.rpartition(".")[2]])
                for pad in placed.pads
                if pad.side == FRONT
            ]
        self.bodies.append(
            Body(
                side=side,
                reference=reference,
                package=kind,
                at=placed.at,
                size=pattern.body,
                turn=placed.turn,
                round=pattern.body_round,
                colour=pattern.colour,
                marking=marking,
            )
        )

    def led(self, number: int, along: float, anode: str) -> None:
        """One LED across the ring, its cathode on the ground."""
        self.put(f"LED{number}", "LED-3", at(along, CATHODES), at(along, ANODES), {"K": "gnd", "A": anode})
        self.tracks.append(spoke("gnd", along, CATHODES, GROUND))
        self.legends.append(Legend(side=FRONT, text=str(number), at=at(along + 2.0, 33.0), height=0.9))

    def ballast(self, number: int, first: float, second: float, net: str) -> None:
        """One resistor along the ring, its first pin on the rail."""
        self.put(f"R{number}", "0805", at(first, ANODES), at(second, ANODES), {"1": "rail", "2": net}, "470")
        self.tracks.append(spoke("rail", first, ANODES, RAIL))


def layout() -> Layout:
    """The whole board: nine pairs of LEDs with their ballasts, then what feeds the fan."""
    board = _Board()
    board.tracks += [
        Track(side=BACK, net="rail", points=(*ring(RAIL), ring(RAIL)[0]), width=0.8),
        Track(side=BACK, net="gnd", points=(*ring(GROUND), ring(GROUND)[0]), width=0.8),
    ]
    for pair in range(1, 10):
        start, net = (pair - 1) * SLOT, f"pair_{pair}"
        if pair == 6:
            _sixth(board, start, net)
            continue
        board.ballast(pair, start, start + 1.9, net)
        leds = list(_leds_of(pair))
        for place, number in enumerate(leds):
            board.led(number, start + 7.0 + 6.5 * place, net)
        board.tracks.append(arc(net, start + 1.9, start + 7.0 + 6.5 * (len(leds) - 1), ANODES, 0.5))
    _feed(board, 9 * SLOT)
    board.holes += [Hole(at=place, diameter=1.6, plated=False) for place in PEGS]
    return Layout(
        outline=ring(OUTER),
        cutouts=(ring(INNER),),
        tracks=tuple(board.tracks),
        pads=tuple(board.pads),
        holes=tuple(board.holes),
        bodies=tuple(board.bodies),
        legends=tuple(board.legends),
        invented="an invented board of an invented lure",
    )


def _leds_of(pair: int) -> Iterator[int]:
    yield from (2 * pair - 1, 2 * pair)
    if pair == 5:
        yield 11  # the one that stands where one would look for it at pair 6


def _sixth(board: _Board, start: float, net: str) -> None:
    """Pair 6 turns its ballast round, so that its copper passes below the ballast to the one LED it feeds."""
    board.ballast(6, start + 6.0, start + 4.1, net)
    board.tracks += [
        spoke(net, start + 4.1, ANODES, BYPASS, 0.4),
        arc(net, start + 4.1, start + 11.0, BYPASS, 0.4),
        spoke(net, start + 11.0, BYPASS, ANODES, 0.4),
    ]
    board.led(12, start + 11.0, net)


def _feed(board: _Board, start: float) -> None:
    board.put("S1", "WIRE-SINGLE", at(start + 1.0, 34.7), at(start + 2.0, 34.7), {"1": "rail"})
    board.tracks.append(spoke("rail", start + 1.0, 34.7, RAIL, 0.8))
    board.put("W1", "WIRE-SINGLE", at(start + 1.0, 31.9), at(start + 2.0, 31.9), {"1": "gnd"})
    board.tracks.append(spoke("gnd", start + 1.0, 31.9, GROUND, 0.8))
    board.put("C1", "CAN-RADIAL-5", at(start + 6.5, 34.5), at(start + 6.5, 32.5), {"+": "rail", "-": "gnd"})
    board.tracks += [spoke("rail", start + 6.5, 34.5, RAIL), spoke("gnd", start + 6.5, 32.5, GROUND)]
    board.put(
        "D1", "SMA", at(start + 15.5, 33.9), at(start + 11.5, 33.9), {"A": "rail", "K": "fan_feed"}, "M7"
    )
    board.tracks.append(spoke("rail", start + 11.5, 33.9, RAIL, 0.8))
    board.put(
        "R10",
        "1206",
        at(start + 18.6, 33.9),
        at(start + 21.6, 33.9),
        {"1": "fan_feed", "2": "fan_plus"},
        "2R2",
    )
    board.tracks.append(arc("fan_feed", start + 15.5, start + 18.6, 33.9, 0.8))
    board.put(
        "C2", "0805", at(start + 24.6, ANODES - 0.4), at(start + 24.6, 32.1), {"1": "fan_plus", "2": "gnd"}
    )
    board.tracks.append(spoke("gnd", start + 24.6, 32.1, GROUND))
    board.put(
        "M1", "WIRE-PAIR", at(start + 28.2, ANODES), at(start + 28.2, CATHODES), {"1": "fan_plus", "2": "gnd"}
    )
    board.tracks.append(spoke("gnd", start + 28.2, CATHODES, GROUND, 0.8))
    board.led(19, start + 32.4, "fan_plus")
    board.led(20, start + 36.8, "fan_plus")
    board.tracks += [
        arc("fan_plus", start + 21.6, start + 24.6, ANODES - 0.3, 0.8),
        arc("fan_plus", start + 24.6, start + 36.8, ANODES, 0.8),
    ]


PEGS = tuple(at(pair * SLOT - 3.0, 33.5) for pair in (1, 3, 7, 9))
"""Unplated holes that sit on pegs of the housing; their distances are easy to take with a calliper."""

_TENTH, _ELEVENTH, _BALLAST = 4 * SLOT + 13.5, 4 * SLOT + 20.0, 5 * SLOT + 4.1

TRUTH = BoardTruth(
    dossier="insect-lure",
    board="ring",
    layout=one_sided(layout()),
    views={
        FRONT: View(
            finish="bare",
            px_per_mm=18.0,
            tilt=5.0,
            turn=2.0,
            lens=0.02,
            light=0.2,
            populated=True,
            table="cloth",
        ),
        BACK: View(
            finish="green",
            px_per_mm=20.0,
            tilt=6.0,
            turn=5.0,
            lens=0.0,
            light=0.3,
            populated=True,
            table="cloth",
        ),
    },
    seed=74,
    blank=(FRONT,),
    marked=PEGS,
    # LED11 truly hangs on R5 with the pair beside it; the analyst took the nearer ballast for its own.
    slip=(
        (BACK, CUT, at(_ELEVENTH - 2.6, ANODES - 0.6), at(_ELEVENTH - 2.6, ANODES + 0.6), 0.5),
        (BACK, BRIDGE, at(_ELEVENTH, ANODES), at(_BALLAST, ANODES), 0.5),
    ),
    read_as={"LED11.A": "pair_6"},
)
