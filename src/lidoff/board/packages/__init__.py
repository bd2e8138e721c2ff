"""Land patterns of the packages that cheap boards carry, one file a family; each lists its own in ``MEMBERS``.

Sizes are nominal patterns of common practice in the style of IPC-7351B (nominal density), rounded to 0.05 mm and written
from memory: they serve to find and name lands on a photo, not to make a board.
"""
