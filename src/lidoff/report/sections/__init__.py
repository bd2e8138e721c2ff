"""Chapters of the report, one a file; each lists its own in ``MEMBERS``."""
