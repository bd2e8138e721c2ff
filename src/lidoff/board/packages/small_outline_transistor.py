"""Small-outline transistor families and the tabbed power packages that lie flat."""

from __future__ import annotations

from lidoff.board.package import Land, LandPattern

MEMORY = "common practice in the style of IPC-7351B, from memory"


def _two_rows(
    name: str, left: int, right: tuple[float, ...], pitch: float, span: float, land: tuple[float, float]
) -> LandPattern:
    """Pins down the left side at `pitch`, then up the right side at the given heights [mm]."""
    top = -(left - 1) / 2 * pitch
    lands = [
        Land(pin=str(index + 1), at=(-span / 2, top + index * pitch), size=land) for index in range(left)
    ]
    lands += [Land(pin=str(left + index + 1), at=(span / 2, y), size=land) for index, y in enumerate(right)]
    return LandPattern(
        name=name,
        family="sot",
        lands=tuple(lands),
        body=(span - 1.1 if span > 2.2 else span - 0.8, (left - 1) * pitch + 1.0),
        clicks=("1", str(len(lands))),
        source=MEMORY,
    )


def _tabbed(
    name: str,
    pins: int,
    pitch: float,
    tab: tuple[float, float],
    distance: float,
    land: tuple[float, float],
    body: tuple[float, float],
) -> LandPattern:
    """A row of leads along the lower edge and one tab above it, which is one more pin (the middle lead's where cut)."""
    left = -(pins - 1) / 2 * pitch
    lands = [
        Land(pin=str(index + 1), at=(left + index * pitch, distance / 2), size=land) for index in range(pins)
    ]
    lands.append(Land(pin="tab", at=(0.0, -distance / 2), size=tab))
    return LandPattern(
        name=name, family="sot", lands=tuple(lands), body=body, clicks=("1", "tab"), source=MEMORY
    )


MEMBERS = (
    _two_rows("SOT-23", 2, (0.0,), 1.90, 2.00, (0.90, 0.80)),
    _two_rows("SOT-323", 2, (0.0,), 1.30, 1.80, (0.80, 0.60)),
    _two_rows("SOT-23-5", 3, (0.95, -0.95), 0.95, 2.60, (1.05, 0.60)),
    _two_rows("SOT-23-6", 3, (0.95, 0.0, -0.95), 0.95, 2.60, (1.05, 0.60)),
    _two_rows("SOT-363", 3, (0.65, 0.0, -0.65), 0.65, 1.90, (0.80, 0.40)),
    LandPattern(
        name="SOT-89",
        family="sot",
        lands=(
            Land(pin="1", at=(-1.5, 1.6), size=(0.8, 1.4)),
            Land(pin="2", at=(0.0, 0.0), size=(0.9, 4.6)),
            Land(pin="3", at=(1.5, 1.6), size=(0.8, 1.4)),
        ),
        body=(4.5, 2.5),
        clicks=("1", "3"),
        source=MEMORY,
    ),
    _tabbed("SOT-223", 3, 2.30, (3.80, 2.20), 6.20, (1.20, 2.20), (6.50, 3.50)),
    _tabbed("DPAK", 2, 4.56, (6.20, 5.80), 6.60, (1.50, 2.20), (6.50, 6.10)),
    _tabbed("D2PAK", 2, 5.08, (10.80, 9.40), 11.20, (2.00, 3.60), (10.20, 9.20)),
)
