"""The circuit on the bench held against another: of another dossier, of an earlier state, or a block's of the textbook."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING

from pydantic import Field

from lidoff.bench.analyst import dossier_of
from lidoff.bench.models import Closed, Name
from lidoff.bench.showing import page_svg
from lidoff.errors import LidoffError, UnknownName

if TYPE_CHECKING:
    from lidoff.circuit import Circuit
    from lidoff.insight import Contrast

__all__ = [
    "CompareAsked",
    "Compared",
    "Difference",
    "compared_with_dossier",
    "compared_with_earlier",
    "compared_with_textbook",
    "dossier_on_shelf",
]


class CompareAsked(Closed):
    """What to hold the circuit against: a dossier of the shelf, an earlier state, or the textbook for the block of a part."""

    shelf: str = Field(default="", max_length=400)
    revision: int | None = Field(default=None, ge=0)
    textbook: Name = ""


class Difference(Closed):
    """One difference in words, and the parts that it is about in either circuit."""

    sort: str
    says: str
    first: list[str]
    second: list[str]


class Compared(Closed):
    """Two circuits held against each other, drawn with what differs tinted.

    `parts` and `nets` pair what is the same in both, whatever it is called.
    """

    revision: int
    first: str
    second: str
    summary: str
    same: bool
    differences: list[Difference]
    parts: dict[str, str]
    nets: dict[str, str]
    first_svg: str
    second_svg: str


def dossier_on_shelf(shelf: Path, folder: str) -> Path:
    """Folder of a dossier of the shelf.

    Parameters
    ----------
    shelf : Path
        The shelf's folder.
    folder : str
        Of the dossier, below it and with ``/``.

    Returns
    -------
    Path
        It holds a dossier.

    Raises
    ------
    UnknownName
        It does not lie below the shelf, or is no dossier.
    """
    from lidoff.dossier import FILE_NAME

    pure, root = PurePosixPath(folder), shelf.resolve()
    place = root.joinpath(*pure.parts).resolve()
    bad = pure.is_absolute() or ".." in pure.parts or "\\" in folder or "\0" in folder or not pure.parts
    if bad or not place.is_relative_to(root) or not _is_file(place / FILE_NAME):
        raise UnknownName(
            f"there is no dossier {folder!r} on the shelf", remedy="look for its name on the shelf"
        )
    return place


def _is_file(path: Path) -> bool:
    """Whether there is such a file; none has a name that the file system cannot hold."""
    try:
        return path.is_file()
    except OSError:
        return False


def compared_with_dossier(
    texts: Mapping[str, str], revision: int, other: Path
) -> dict[str, object] | LidoffError:
    """Circuit on the bench, then that of another dossier; the error that stands in the way.

    Parameters
    ----------
    texts : mapping of str to str
        State of the dossier on the bench.
    revision : int
        Of that state.
    other : Path
        Folder of the other dossier.

    Returns
    -------
    dict or LidoffError
        Fields of `Compared`.
    """
    from lidoff.dossier import circuit_of, load_dossier
    from lidoff.insight import contrast

    try:
        mine, theirs = dossier_of(texts), load_dossier(other)
        pair = circuit_of(mine), circuit_of(theirs)
        titles = mine.device.title, theirs.device.title
        return _told(contrast(*pair), pair, titles, revision)
    except LidoffError as error:
        return error


def compared_with_earlier(
    texts: Mapping[str, str], revision: int, earlier: Mapping[str, str], number: int
) -> dict[str, object] | LidoffError:
    """Circuit of an earlier state, then that on the bench; the error that stands in the way.

    Parameters
    ----------
    texts, revision
        As for `compared_with_dossier`.
    earlier : mapping of str to str
        The earlier state.
    number : int
        Of that.

    Returns
    -------
    dict or LidoffError
        Fields of `Compared`.
    """
    from lidoff.dossier import circuit_of
    from lidoff.insight import contrast

    try:
        pair = circuit_of(dossier_of(earlier)), circuit_of(dossier_of(texts))
        return _told(contrast(*pair), pair, (f"state {number}", f"state {revision}, now"), revision)
    except LidoffError as error:
        return error


def compared_with_textbook(
    texts: Mapping[str, str], revision: int, part: str
) -> dict[str, object] | LidoffError:
    """The textbook's arrangement, then the block that a part belongs to; the error that stands in the way.

    Parameters
    ----------
    texts, revision
        As for `compared_with_dossier`.
    part : str
        Reference.

    Returns
    -------
    dict or LidoffError
        Fields of `Compared`.
    """
    from lidoff.dossier import circuit_of
    from lidoff.insight import all_blocks, contrast_with_block, recognise

    try:
        dossier = dossier_of(texts)
        circuit = circuit_of(dossier)
        blocks = recognise(circuit)
        block = next((one for one in blocks if part in one.parts), None)
        if block is None:
            known = sorted({name for one in blocks for name in one.parts})
            raise UnknownName(f"{part!r} belongs to no block that was recognised", name=part, known=known)
        pair = all_blocks()[block.kind].example(), circuit
        titles = f"{block.title}, as the textbook has it", dossier.device.title
        return _told(contrast_with_block(circuit, block), pair, titles, revision)
    except LidoffError as error:
        return error


def _told(
    found: Contrast, pair: tuple[Circuit, Circuit], titles: tuple[str, str], revision: int
) -> dict[str, object]:
    from lidoff.insight import tinted_changes
    from lidoff.schematic import DrawingOptions, draw

    first, second = (
        page_svg(draw(circuit, groups=groups, options=DrawingOptions(abbreviate=not groups)).to_svg("light"))
        for circuit, groups in zip(pair, tinted_changes(found), strict=True)
    )
    return {
        "revision": revision,
        "first": titles[0],
        "second": titles[1],
        "summary": found.summary,
        "same": found.same,
        "differences": [
            {"sort": one.sort, "says": one.says, "first": list(one.first), "second": list(one.second)}
            for one in found.changes
        ],
        "parts": dict(found.pairing.parts),
        "nets": dict(found.pairing.nets),
        "first_svg": first,
        "second_svg": second,
    }
