"""From a circuit to a readable drawing, and from the drawing to SVG, PNG and PDF.

This room knows symbols, places, wires and text, and how good a drawing is. It does not know what blocks a circuit has
(`Group` is told to it), nor files of a dossier, nor pages of a report.
"""

from lidoff.schematic.contacts import contacts_apart, with_contacts
from lidoff.schematic.draw import draw
from lidoff.schematic.drawing import Area, Drawing, Junction, Label, RailMark, Repeat, Sheet, Symbol, Wire
from lidoff.schematic.notebook import circuit_picture
from lidoff.schematic.options import (
    AlternatingCircuit,
    ContactCircuit,
    DrawingOptions,
    Group,
    Pinned,
    SolvedCircuit,
)
from lidoff.schematic.piece import draw_piece
from lidoff.schematic.quality import Quality, drawing_quality
from lidoff.schematic.text import current_lines, engineering, stood_for, voltage_text
from lidoff.schematic.themes import THEMES, Theme, theme_named

__all__ = [
    "THEMES",
    "AlternatingCircuit",
    "Area",
    "ContactCircuit",
    "Drawing",
    "DrawingOptions",
    "Group",
    "Junction",
    "Label",
    "Pinned",
    "Quality",
    "RailMark",
    "Repeat",
    "Sheet",
    "SolvedCircuit",
    "Symbol",
    "Theme",
    "Wire",
    "circuit_picture",
    "contacts_apart",
    "current_lines",
    "draw",
    "draw_piece",
    "drawing_quality",
    "engineering",
    "stood_for",
    "theme_named",
    "voltage_text",
    "with_contacts",
]
