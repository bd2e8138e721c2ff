"""What a dossier's texts say, and what stands against them, as single faults."""

from __future__ import annotations

import json
import threading
from collections import OrderedDict
from dataclasses import dataclass
from functools import lru_cache

from lidoff.dossier.board_files import board_name
from lidoff.dossier.documents import Documents
from lidoff.dossier.entries import Dossier
from lidoff.dossier.loading import FILE_NAME, dossier_from_text
from lidoff.dossier.traced import board_from_text
from lidoff.dossier.wiring import target_fault
from lidoff.errors import DossierError, LidoffError
from lidoff.evidence import FromSolution

__all__ = ["Read", "check_faults", "faults_of", "read_documents"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What a dossier's texts say, or what stands against them.

    Attributes
    ----------
    dossier : Dossier or None
        Without its logs; None where there are faults, or no ``dossier.toml`` yet.
    faults : tuple of LidoffError
        In the order of the files.
    """

    dossier: Dossier | None
    faults: tuple[LidoffError, ...] = ()


_KEPT = 6
_known: OrderedDict[tuple[tuple[str, str], ...], Read] = OrderedDict()
_guard = threading.Lock()


def read_documents(documents: Documents) -> Read:
    """Read a dossier's texts; the last few states are kept, since several ask after each edit.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of the folder.

    Returns
    -------
    Read
        The same object for the same texts.
    """
    key = tuple(sorted(documents.items()))
    with _guard:
        if key in _known:
            _known.move_to_end(key)
            return _known[key]
    found = _read(documents)
    with _guard:
        _known[key] = found
        while len(_known) > _KEPT:
            _known.popitem(last=False)
    return found


def _read(documents: Documents) -> Read:
    boards = {file: text for file, text in documents.items() if board_name(file)}
    found = [fault for file, text in boards.items() for fault in _of_board(file, text)]
    dossier = None
    if FILE_NAME in documents:
        try:
            dossier = dossier_from_text(documents[FILE_NAME], boards={} if found else boards)
        except LidoffError as error:
            found.extend(error.faults or (error,))
    return Read(dossier=None if found else dossier, faults=tuple(found))


def faults_of(documents: Documents) -> tuple[LidoffError, ...]:
    """Faults that keep a dossier from being analysed, or one of its boards from being read.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of the folder.

    Returns
    -------
    tuple of LidoffError
        In the order of the files; empty where all can be read.
    """
    return read_documents(documents).faults


@lru_cache(maxsize=16)  # an edit changes one file; the others were looked at before
def _of_board(file: str, text: str) -> tuple[LidoffError, ...]:
    try:
        json.loads(text)
    except (ValueError, RecursionError) as error:
        return (DossierError(f"the file is not JSON ({error})", where=file, remedy="mend it by hand"),)
    try:
        board_from_text(text, file)
    except LidoffError as error:
        return tuple(error.faults or (error,))
    return ()


def check_faults(old: Documents, new: Documents, *, of_board: bool = False) -> None:
    """Refuse a state with faults that the one before did not have: a dossier that can be analysed stays so.

    Whoever measures first and types the circuit after it names nets and parts that do not exist yet. The first part that is
    typed makes them faults, and is taken in all the same: they are told until the parts are there.

    Parameters
    ----------
    old, new : mapping of str to str
        Texts before and after an edit.
    of_board : bool, optional
        Whether a traced board was edited. What a hand says of copper and parts always stands, even where a name that the
        dossier counts on loses its net by it: that is told among the faults, and only a board that cannot be read is refused.

    Raises
    ------
    DossierError, UnknownName, ImpossibleValue
        The one new fault, or all of them together.
    """
    faults = faults_of(new)
    if not faults:
        return
    had = {fault.what for fault in faults_of(old)} | _waited_for(old)
    fresh = [
        fault
        for fault in faults
        if fault.what not in had and not (of_board and fault.where.startswith(FILE_NAME))
    ]
    if len(fresh) == 1:
        raise fresh[0]
    if fresh:
        raise DossierError(f"the edit would bring {len(fresh)} faults into the dossier", faults=fresh)


def _waited_for(documents: Documents) -> set[str]:
    """What will be missed of names in readings and claims as soon as there is a first part."""
    dossier = read_documents(documents).dossier
    if dossier is None or dossier.parts:
        return set()
    targets = [reading.target for reading in dossier.readings]
    targets += [
        source.target
        for claim in dossier.claims
        for source in claim.inputs.values()
        if isinstance(source, FromSolution)
    ]
    return {fault.what for target in targets if (fault := target_fault(target, dossier)) is not None}
