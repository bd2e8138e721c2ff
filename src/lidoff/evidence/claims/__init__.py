"""Kinds of claim, one family a file; each lists its own in ``MEMBERS``."""
