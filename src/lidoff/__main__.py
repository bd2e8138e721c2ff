"""``python -m lidoff``: the command line, where its own name is not on the path."""

from __future__ import annotations

import sys

import lidoff.cli

__all__: list[str] = []

if __name__ == "__main__":
    sys.exit(lidoff.cli.main())
