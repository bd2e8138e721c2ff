"""Many dossiers: found again, held against each other, counted, and worked through in bulk.

Knows: folders of dossiers and what an analysis tells of each. Must not know: the workbench and the command line. The folders
are the truth: an index is made from them and can be made anew at any time.
"""

from lidoff.shelf.bulk import Done, each
from lidoff.shelf.entry import ShelfBlock, ShelfClaim, ShelfEntry, ShelfNumber, ShelfPart, entry_of
from lidoff.shelf.fingerprint import circuit_labels, part_labels
from lidoff.shelf.index import INDEX_NAME, Index, open_index
from lidoff.shelf.likeness import Alike, alike
from lidoff.shelf.search import Asked, ClaimRecord, Hit, claim_records, find
from lidoff.shelf.updating import Updated, analysed_entry, dossiers_under, largest_first, stamp_of, update

__all__ = [
    "INDEX_NAME",
    "Alike",
    "Asked",
    "ClaimRecord",
    "Done",
    "Hit",
    "Index",
    "ShelfBlock",
    "ShelfClaim",
    "ShelfEntry",
    "ShelfNumber",
    "ShelfPart",
    "Updated",
    "alike",
    "analysed_entry",
    "circuit_labels",
    "claim_records",
    "dossiers_under",
    "each",
    "entry_of",
    "find",
    "largest_first",
    "open_index",
    "part_labels",
    "stamp_of",
    "update",
]
