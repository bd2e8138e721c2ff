"""lidoff: evidence from a teardown, from box claims to a report that others can follow.

The package is a pipeline of values, one room a step; see ``docs/architecture.md``. Importing it loads nothing heavy.
"""

__version__ = "0.1.0"

__all__ = ["__version__"]
