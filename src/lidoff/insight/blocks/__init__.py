"""Kinds of block, one file a block; each module lists its own in ``MEMBERS``."""
