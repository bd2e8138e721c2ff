"""Two-ended surface parts: chip resistors and capacitors by their inch code, MELF cylinders, moulded diodes, inductors."""

from __future__ import annotations

from lidoff.board.package import Land, LandPattern

MEMORY = "common practice in the style of IPC-7351B, from memory"

CERAMIC = (0.55, 0.42, 0.30)
BLACK = (0.08, 0.08, 0.09)
RED_GLASS = (0.55, 0.25, 0.12)


def _two_ended(
    name: str,
    family: str,
    span: float,
    land: tuple[float, float],
    body: tuple[float, float],
    colour: tuple[float, float, float],
    pins: tuple[str, str] = ("1", "2"),
) -> LandPattern:
    """Two equal lands whose centres lie `span` [mm] apart along x."""
    return LandPattern(
        name=name,
        family=family,
        lands=(
            Land(pin=pins[0], at=(-span / 2, 0.0), size=land),
            Land(pin=pins[1], at=(span / 2, 0.0), size=land),
        ),
        body=body,
        clicks=pins,
        colour=colour,
        source=MEMORY,
    )


MEMBERS = (
    _two_ended("0201", "chip", 0.60, (0.35, 0.35), (0.60, 0.30), BLACK),
    _two_ended("0402", "chip", 0.95, (0.55, 0.60), (1.00, 0.50), BLACK),
    _two_ended("0603", "chip", 1.60, (0.85, 0.95), (1.60, 0.80), BLACK),
    _two_ended("0805", "chip", 1.90, (1.00, 1.40), (2.00, 1.25), CERAMIC),
    _two_ended("1206", "chip", 3.00, (1.15, 1.75), (3.20, 1.60), BLACK),
    _two_ended("1210", "chip", 2.95, (1.15, 2.70), (3.20, 2.50), CERAMIC),
    _two_ended("1812", "chip", 4.30, (1.30, 3.40), (4.50, 3.20), CERAMIC),
    _two_ended("2010", "chip", 4.85, (1.25, 2.70), (5.00, 2.50), BLACK),
    _two_ended("2512", "chip", 6.20, (1.35, 3.35), (6.30, 3.20), BLACK),
    _two_ended("MELF", "melf", 5.20, (1.50, 2.50), (5.80, 2.20), RED_GLASS),
    _two_ended("MiniMELF", "melf", 3.20, (1.30, 1.70), (3.50, 1.40), RED_GLASS),
    _two_ended("MicroMELF", "melf", 1.90, (0.90, 1.20), (2.00, 1.10), RED_GLASS),
    _two_ended("SOD-123", "sod", 3.30, (0.95, 1.20), (2.70, 1.60), BLACK, ("K", "A")),
    _two_ended("SOD-323", "sod", 2.30, (0.70, 0.70), (1.70, 1.25), BLACK, ("K", "A")),
    _two_ended("SOD-523", "sod", 1.50, (0.55, 0.55), (1.20, 0.80), BLACK, ("K", "A")),
    _two_ended("SMA", "sod", 4.00, (1.80, 1.80), (4.30, 2.60), BLACK, ("K", "A")),
    _two_ended("SMB", "sod", 4.30, (2.20, 2.30), (4.40, 3.60), BLACK, ("K", "A")),
    _two_ended("SMC", "sod", 6.80, (2.50, 3.30), (6.90, 5.90), BLACK, ("K", "A")),
    _two_ended("CASE-A", "electrolytic", 2.80, (1.60, 1.40), (3.20, 1.60), (0.75, 0.55, 0.15), ("+", "-")),
    _two_ended("CASE-B", "electrolytic", 3.00, (1.70, 2.40), (3.50, 2.80), (0.75, 0.55, 0.15), ("+", "-")),
    _two_ended("CAN-5", "electrolytic", 4.40, (2.80, 1.60), (5.30, 5.30), (0.72, 0.72, 0.74), ("+", "-")),
    _two_ended("CAN-6.3", "electrolytic", 5.20, (3.20, 1.60), (6.60, 6.60), (0.72, 0.72, 0.74), ("+", "-")),
    _two_ended("INDUCTOR-4", "inductor", 3.40, (1.50, 3.80), (4.00, 4.00), (0.20, 0.20, 0.22)),
    _two_ended("INDUCTOR-6", "inductor", 5.00, (1.90, 5.80), (6.00, 6.00), (0.20, 0.20, 0.22)),
    _two_ended("LED-0603", "led", 1.60, (0.85, 0.95), (1.60, 0.80), (0.92, 0.90, 0.70), ("K", "A")),
    _two_ended("LED-0805", "led", 1.90, (1.00, 1.40), (2.00, 1.25), (0.92, 0.90, 0.70), ("K", "A")),
    _two_ended("LED-2835", "led", 2.60, (1.20, 2.20), (2.80, 3.50), (0.95, 0.90, 0.45), ("K", "A")),
)
