"""Builds the package as hatchling does, with the workbench's pages in it, so that no one who installs it needs Node.

An editable install is left as it is: there the pages are built from ``web/`` when the workbench is first started.
"""

from __future__ import annotations

from typing import Any

from build_pages import NODE, build_pages, is_current  # type: ignore[import-not-found]
from hatchling import build as hatchling  # type: ignore[import-not-found]

__all__ = [
    "build_editable",
    "build_sdist",
    "build_wheel",
    "get_requires_for_build_editable",
    "get_requires_for_build_sdist",
    "get_requires_for_build_wheel",
]

build_editable = hatchling.build_editable
get_requires_for_build_editable = hatchling.get_requires_for_build_editable


def get_requires_for_build_wheel(config_settings: dict[str, Any] | None = None) -> list[str]:
    """What building a wheel needs: Node as a Python package, unless the pages came with the sources."""
    return [*hatchling.get_requires_for_build_wheel(config_settings), *_node()]


def get_requires_for_build_sdist(config_settings: dict[str, Any] | None = None) -> list[str]:
    """What packing the sources needs."""
    return [*hatchling.get_requires_for_build_sdist(config_settings), *_node()]


def build_wheel(
    wheel_directory: str,
    config_settings: dict[str, Any] | None = None,
    metadata_directory: str | None = None,
) -> str:
    """Build the pages, then the wheel; answers its name."""
    build_pages()
    return str(hatchling.build_wheel(wheel_directory, config_settings, metadata_directory))


def build_sdist(sdist_directory: str, config_settings: dict[str, Any] | None = None) -> str:
    """Build the pages, then pack the sources with them; answers the archive's name."""
    build_pages()
    return str(hatchling.build_sdist(sdist_directory, config_settings))


def _node() -> list[str]:
    return [] if is_current() else [NODE]
