"""What printed codes on parts mean.

Knows: colour bands, digit and letter codes, sizes, gauges, classes, dates, and a small table of top marks that the
analyst can extend. Must not know: circuits, boards, files of a dossier, pages.

Ambiguity is shown, not settled: `decode` returns every meaning with its doubts, the most plausible first.
"""

from lidoff.markings.bands import encode_bands
from lidoff.markings.decoder import Decoder, all_decoders
from lidoff.markings.digits import encode_digits
from lidoff.markings.eia96 import encode_eia96
from lidoff.markings.marks import MARKED_PARTS, Mark, MarkedPart, marks_from_rows
from lidoff.markings.meaning import Fact, Limits, Meaning, Reading
from lidoff.markings.ranking import decode
from lidoff.markings.sentence import describe
from lidoff.markings.series import E_SERIES, nearest_preferred, series_of

__all__ = [
    "E_SERIES",
    "MARKED_PARTS",
    "Decoder",
    "Fact",
    "Limits",
    "Mark",
    "MarkedPart",
    "Meaning",
    "Reading",
    "all_decoders",
    "decode",
    "describe",
    "encode_bands",
    "encode_digits",
    "encode_eia96",
    "marks_from_rows",
    "nearest_preferred",
    "series_of",
]
