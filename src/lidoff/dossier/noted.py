"""Faults of one file, gathered as they are found, and told together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TypeVar

from lidoff.dossier.lines import line_of
from lidoff.errors import DossierError, LidoffError

__all__ = ["MOST_FAULTS", "Faults"]

Path = tuple[str | int, ...]
Result = TypeVar("Result")
MOST_FAULTS = 100
"""Faults told of one file; nobody reads more, and a file that is no dossier at all has thousands."""


class Faults:
    """Faults found so far, each with file, line and key."""

    def __init__(self, file: str, lines: Callable[[], Mapping[Path, int]]) -> None:
        self._file = file
        self._find_lines = lines
        self._lines: Mapping[Path, int] | None = None
        self._found: list[tuple[int, DossierError]] = []
        self._written_as: dict[Path, Path] = {}
        self._tables: list[tuple[Path, Path]] = []

    def written_as(self, path: Path, key: Path) -> None:
        """Tell faults of a key that stands in the file under another one."""
        self._written_as[path] = key

    def all_written_as(self, path: Path, key: Path) -> None:
        """Tell faults of all that is below a key under another one, which the file has in its place."""
        self._tables.append((path, key))

    def add(self, path: Path, what: str, remedy: str = "") -> None:
        """Note a fault at a key."""
        if self._lines is None:
            self._lines = self._find_lines()
        path = self._written_as.get(path, path)
        for now, written in self._tables:
            if path[: len(now)] == now:
                path = (*written, *path[len(now) :])
        line = line_of(path, self._lines)
        key = ".".join(str(name) for name in path)
        where = f"{self._file}, line {line}" + (f", {key}" if key else "")
        self._found.append((line, DossierError(what, where=where, remedy=remedy)))

    def attempt(self, path: Path, function: Callable[[], Result]) -> Result | None:
        """Result of a function, or None after noting the error it raises."""
        try:
            return function()
        except LidoffError as error:
            self.add(path, error.what, error.remedy)
            return None

    def __bool__(self) -> bool:
        return bool(self._found)

    def raise_if_any(self) -> None:
        """Raise one error for all faults.

        Raises
        ------
        DossierError
            There are faults.
        """
        faults = [fault for _, fault in sorted(self._found, key=lambda found: found[0])]
        if len(faults) == 1:
            raise faults[0]
        if len(faults) > MOST_FAULTS:
            raise DossierError(
                f"more than {MOST_FAULTS} faults, of which these are the first",
                where=self._file,
                remedy="check that this is a dossier",
                faults=faults[:MOST_FAULTS],
            )
        if faults:
            raise DossierError(f"{len(faults)} faults", where=self._file, faults=faults)
