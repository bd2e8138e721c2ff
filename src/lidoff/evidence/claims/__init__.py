"""Kinds of claim, one a file, each with its example; each file lists its own in ``MEMBERS``."""
