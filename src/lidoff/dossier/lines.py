"""Line of every key of a TOML text, for messages; the text has been read by the standard reader before."""

from __future__ import annotations

import bisect
import re
from collections.abc import Iterator, Mapping

from lidoff.dossier.toml_outline import Pair, Spot, outline_of

__all__ = ["line_of", "lines_of_keys"]

Path = tuple[str | int, ...]


def lines_of_keys(text: str) -> Mapping[Path, int]:
    """Line of every key and list entry of a valid TOML text.

    Parameters
    ----------
    text : str
        Valid TOML.

    Returns
    -------
    mapping of tuple of str or int to int
        Path of keys and list positions → line, from 1.
    """
    newlines = [match.start() for match in re.finditer("\n", text)]
    lines: dict[Path, int] = {}
    for path, place in _places(text):
        line = bisect.bisect_left(newlines, place) + 1
        length = len(path)
        while length and path[:length] not in lines:  # what is above a path that is noted is noted as well
            lines[path[:length]] = line
            length -= 1
    return lines


def line_of(path: Path, lines: Mapping[Path, int]) -> int:
    """Line of a path, or of the nearest table above it; 1 where nothing of it stands in the text."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1


def _places(text: str) -> Iterator[tuple[Path, int]]:
    """Every path that is written down with the place of its last key or of its entry, in the order of the text."""
    for block in outline_of(text):
        if block.path:
            yield block.path, block.places[-1][0]
        for pair in block.pairs:
            yield from _places_of_pair(block.path, pair)


def _places_of_pair(above: Path, pair: Pair) -> Iterator[tuple[Path, int]]:
    path = (*above, *pair.keys)
    yield path, pair.places[-1][0]
    yield from _places_within(path, pair.value)


def _places_within(path: Path, spot: Spot) -> Iterator[tuple[Path, int]]:
    for pair in spot.pairs:
        yield from _places_of_pair(path, pair)
    for number, entry in enumerate(spot.entries):
        yield (*path, number), entry.start
        yield from _places_within((*path, number), entry)
