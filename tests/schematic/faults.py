"""What no drawing may have."""

from __future__ import annotations

from lidoff.schematic import Quality

NEVER = (
    "symbol_overlaps",
    "wires_through_symbols",
    "wires_along_wires",
    "label_overlaps",
    "wires_through_labels",
    "crossroads",
    "unreached",
)


def faults_of(quality: Quality) -> dict[str, int]:
    """Figures that should be nought and are not."""
    return {name: getattr(quality, name) for name in NEVER if getattr(quality, name)}
