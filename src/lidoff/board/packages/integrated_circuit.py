"""Packages of integrated circuits: small outline in several pitches, quad flat without leads, and dual in line."""

from __future__ import annotations

from lidoff.board.package import Land, LandPattern

MEMORY = "common practice in the style of IPC-7351B, from memory"
DUAL_IN_LINE = "0.1 inch raster of dual-in-line packages, common practice"


def _dual(
    name: str,
    family: str,
    pins: int,
    pitch: float,
    span: float,
    land: tuple[float, float],
    body_width: float,
    hole: float = 0.0,
    source: str = MEMORY,
) -> LandPattern:
    """Pins down the left side and up the right side, as seen from above."""
    half = pins // 2
    top = -(half - 1) / 2 * pitch
    lands = []
    for index in range(pins):
        down = index < half
        y = top + (index if down else pins - 1 - index) * pitch
        x = -span / 2 if down else span / 2
        lands.append(Land(pin=str(index + 1), at=(x, y), size=land, round=hole > 0.0, hole=hole))
    return LandPattern(
        name=name,
        family=family,
        lands=tuple(lands),
        body=(body_width, (half - 1) * pitch + 1.6),
        # Pins 1 and half + 1 lie at opposite corners: the longest base line gives the best angle.
        clicks=("1", str(half + 1)),
        source=source,
    )


def _quad(name: str, pins: int, pitch: float, size: float, pad: float) -> LandPattern:
    """Pins round four sides without leads, anticlockwise from the upper left, and the pad below as pin "pad"."""
    side = pins // 4
    reach, first = size / 2, -(side - 1) / 2 * pitch
    long, short = 0.8, pitch * 0.55
    lands = []
    for index in range(pins):
        edge, step = divmod(index, side)
        along = first + step * pitch
        at = [(-reach, along), (along, reach), (reach, -along), (-along, -reach)][edge]
        size_of = (long, short) if edge % 2 == 0 else (short, long)
        lands.append(Land(pin=str(index + 1), at=at, size=size_of))
    lands.append(Land(pin="pad", at=(0.0, 0.0), size=(pad, pad)))
    return LandPattern(
        name=name,
        family="qfn",
        lands=tuple(lands),
        body=(size, size),
        clicks=("1", str(pins // 2 + 1)),
        source=MEMORY,
    )


MEMBERS = (
    *(_dual(f"SOIC-{n}", "soic", n, 1.27, 5.40, (1.55, 0.60), 3.90) for n in (8, 14, 16)),
    *(_dual(f"SOIC-W-{n}", "soic", n, 1.27, 9.30, (2.00, 0.60), 7.50) for n in (16, 18, 20, 28)),
    *(_dual(f"SSOP-{n}", "sop", n, 0.65, 7.00, (1.75, 0.40), 5.30) for n in (16, 20, 28)),
    *(_dual(f"TSSOP-{n}", "sop", n, 0.65, 5.80, (1.45, 0.40), 4.40) for n in (8, 14, 16, 20)),
    *(_dual(f"MSOP-{n}", "sop", n, 1.30 / 2 if n == 8 else 0.50, 4.40, (1.40, 0.35), 3.00) for n in (8, 10)),
    *(
        _dual(f"DIP-{n}", "dip", n, 2.54, 7.62, (1.60, 1.60), 6.40, 0.80, DUAL_IN_LINE)
        for n in (4, 6, 8, 14, 16, 18, 20)
    ),
    *(
        _dual(f"DIP-W-{n}", "dip", n, 2.54, 15.24, (1.60, 1.60), 13.80, 0.80, DUAL_IN_LINE)
        for n in (24, 28, 40)
    ),
    _quad("QFN-16-3", 16, 0.50, 3.0, 1.7),
    _quad("QFN-16-4", 16, 0.65, 4.0, 2.4),
    _quad("QFN-20-4", 20, 0.50, 4.0, 2.6),
    _quad("QFN-24-4", 24, 0.50, 4.0, 2.6),
    _quad("QFN-32-5", 32, 0.50, 5.0, 3.4),
)
