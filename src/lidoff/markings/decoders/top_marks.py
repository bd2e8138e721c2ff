"""Top marks of common small parts, from the table that comes with the package."""

from __future__ import annotations

from lidoff.markings.decoder import Decoder
from lidoff.markings.marks import MARKED_PARTS, own_marks, read_marks
from lidoff.markings.meaning import Reading


def _read(text: str) -> tuple[Reading, ...]:
    return read_marks(text, own_marks())


MEMBERS = (
    Decoder(
        name="top_marks",
        title="top mark of a small part",
        about=MARKED_PARTS,
        source="the package's table of top marks, each row with its own source",
        from_memory=False,
        example="J3Y",
        read=_read,
    ),
)
