"""Parts with leads through the board: axial, radial, cans, upright transistors, lamps and rows of pins."""

from __future__ import annotations

from lidoff.board.package import Land, LandPattern

PRACTICE = "0.1 inch raster and usual lead spacings, common practice, from memory"

TAN = (0.78, 0.65, 0.45)
ORANGE_GLASS = (0.70, 0.35, 0.15)
BLUE_SLEEVE = (0.12, 0.16, 0.28)
BLACK = (0.08, 0.08, 0.09)
WHITE = (0.90, 0.90, 0.88)


def _pair(
    name: str,
    family: str,
    span: float,
    land: float,
    hole: float,
    body: tuple[float, float],
    colour: tuple[float, float, float],
    *,
    pins: tuple[str, str] = ("1", "2"),
    disc: bool = False,
    stretches: bool = False,
) -> LandPattern:
    """Two round lands `span` [mm] apart."""
    return LandPattern(
        name=name,
        family=family,
        lands=tuple(
            Land(pin=pin, at=(x, 0.0), size=(land, land), round=True, hole=hole)
            for pin, x in zip(pins, (-span / 2, span / 2), strict=True)
        ),
        body=body,
        body_round=disc,
        clicks=pins,
        stretches=stretches,
        colour=colour,
        source=PRACTICE,
    )


def _single(name: str, land: float, hole: float) -> LandPattern:
    """One round land; the second click only tells its turn."""
    return LandPattern(
        name=name,
        family="connector",
        lands=(Land(pin="1", at=(0.0, 0.0), size=(land, land), round=True, hole=hole),),
        body=(0.1, 0.1),
        clicks=("1", "1"),
        colour=TAN,
        source=PRACTICE,
    )


def _row(
    name: str,
    family: str,
    pins: tuple[str, ...],
    pitch: float,
    land: float,
    hole: float,
    body: tuple[float, float],
    colour: tuple[float, float, float] = BLACK,
) -> LandPattern:
    """Round lands in one row along x."""
    left = -(len(pins) - 1) / 2 * pitch
    return LandPattern(
        name=name,
        family=family,
        lands=tuple(
            Land(pin=pin, at=(left + index * pitch, 0.0), size=(land, land), round=True, hole=hole)
            for index, pin in enumerate(pins)
        ),
        body=body,
        clicks=(pins[0], pins[-1]),
        colour=colour,
        source=PRACTICE,
    )


def _numbers(count: int) -> tuple[str, ...]:
    return tuple(str(index + 1) for index in range(count))


MEMBERS = (
    _pair("AXIAL-SMALL", "axial", 7.62, 1.5, 0.7, (3.6, 1.8), ORANGE_GLASS, stretches=True),
    _pair("AXIAL-QUARTER-WATT", "axial", 10.16, 1.7, 0.8, (6.5, 2.4), TAN, stretches=True),
    _pair("AXIAL-ONE-WATT", "axial", 15.24, 2.0, 0.9, (11.0, 4.5), TAN, stretches=True),
    _pair("AXIAL-DIODE", "axial", 7.62, 1.7, 0.8, (4.0, 2.0), BLACK, pins=("K", "A"), stretches=True),
    _pair("AXIAL-POWER-DIODE", "axial", 10.16, 2.2, 1.1, (5.2, 2.7), BLACK, pins=("K", "A"), stretches=True),
    _pair("RADIAL-2.5", "radial", 2.54, 1.5, 0.7, (4.0, 2.5), TAN),
    _pair("RADIAL-5", "radial", 5.08, 1.7, 0.8, (6.0, 3.2), TAN),
    _pair("RADIAL-FILM-10", "radial", 10.0, 1.8, 0.9, (13.0, 5.0), (0.65, 0.12, 0.10)),
    _pair("RADIAL-FILM-15", "radial", 15.0, 1.9, 0.9, (18.0, 7.0), (0.75, 0.70, 0.15)),
    _pair("CAN-RADIAL-5", "electrolytic", 2.0, 1.4, 0.7, (5.0, 5.0), BLUE_SLEEVE, pins=("+", "-"), disc=True),
    _pair(
        "CAN-RADIAL-6.3", "electrolytic", 2.5, 1.5, 0.7, (6.3, 6.3), BLUE_SLEEVE, pins=("+", "-"), disc=True
    ),
    _pair("CAN-RADIAL-8", "electrolytic", 3.5, 1.7, 0.8, (8.0, 8.0), BLUE_SLEEVE, pins=("+", "-"), disc=True),
    _pair(
        "CAN-RADIAL-10", "electrolytic", 5.0, 1.9, 0.8, (10.0, 10.0), BLUE_SLEEVE, pins=("+", "-"), disc=True
    ),
    _pair("LED-3", "led", 2.54, 1.6, 0.8, (3.2, 3.2), (0.90, 0.88, 0.80), pins=("K", "A"), disc=True),
    _pair("LED-5", "led", 2.54, 1.7, 0.9, (5.4, 5.4), (0.90, 0.88, 0.80), pins=("K", "A"), disc=True),
    _row("TO-92", "to", _numbers(3), 1.27, 1.0, 0.6, (4.8, 3.8)),
    _row("TO-92-SPREAD", "to", _numbers(3), 2.54, 1.5, 0.7, (4.8, 3.8)),
    _row("TO-220", "to", _numbers(3), 2.54, 1.9, 1.1, (10.2, 4.6)),
    _row("TO-220-2", "to", ("1", "2"), 5.08, 2.0, 1.2, (10.2, 4.6)),
    _row("TO-247", "to", _numbers(3), 5.45, 2.8, 1.6, (15.9, 5.1)),
    *(_row(f"HEADER-{n}", "connector", _numbers(n), 2.54, 1.7, 1.0, (n * 2.54, 2.5)) for n in range(1, 11)),
    *(
        _row(f"CONNECTOR-2-{n}", "connector", _numbers(n), 2.0, 1.5, 0.9, (n * 2.0 + 2, 4.5), WHITE)
        for n in range(2, 7)
    ),
    *(
        _row(f"TERMINAL-{n}", "connector", _numbers(n), 5.08, 2.6, 1.3, (n * 5.08, 8.0), (0.10, 0.35, 0.15))
        for n in range(2, 5)
    ),
    _pair("WIRE-PAIR", "connector", 2.54, 2.0, 1.0, (0.1, 0.1), TAN),
    _pair("WIRE-PAIR-WIDE", "connector", 3.1, 2.2, 1.1, (0.1, 0.1), TAN),
    _single("WIRE-SINGLE", 2.2, 1.1),
    _single("TEST-PAD", 1.4, 0.0),
    LandPattern(
        name="PUSH-BUTTON-6",
        family="connector",
        lands=tuple(
            Land(pin=pin, at=at, size=(1.9, 1.9), round=True, hole=1.0)
            for pin, at in (
                ("1", (-3.25, -2.25)),
                ("1", (3.25, -2.25)),
                ("2", (-3.25, 2.25)),
                ("2", (3.25, 2.25)),
            )
        ),
        body=(6.2, 6.2),
        clicks=("1", "2"),
        colour=(0.2, 0.2, 0.22),
        source=PRACTICE,
    ),
)
