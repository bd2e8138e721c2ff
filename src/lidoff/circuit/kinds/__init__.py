"""Kinds of part, one file a family; each module lists its own in ``MEMBERS``. See ``docs/adding-a-kind.md``."""
