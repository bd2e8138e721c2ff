"""Circuits of two to sixty parts on which the drawings are judged; the gadgets among them are invented."""

from __future__ import annotations

from collections.abc import Mapping

from lidoff.circuit.netlist import Circuit
from tests.schematic.classics import CLASSICS
from tests.schematic.gadgets import GADGETS

__all__ = ["GALLERY"]

GALLERY: Mapping[str, Circuit] = {**CLASSICS, **GADGETS}
"""Circuits by a short name."""
