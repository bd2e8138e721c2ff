"""One process at a time on a dossier: a lock that ends with the process that holds it, however it ends."""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

from lidoff.errors import EditRefused, OutputRefused

__all__ = ["LOCK", "Lock", "take_lock"]

LOCK = ".bench.lock"
"""File of the lock inside the dossier's folder; it stays there, empty of meaning, when nobody holds it."""


class Lock:
    """A held lock."""

    def __init__(self, handle: int) -> None:
        self._handle = handle

    def release(self) -> None:
        """Let others have it."""
        os.close(self._handle)


def take_lock(folder: Path) -> Lock:
    """Lock of a dossier.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Returns
    -------
    Lock
        Held until it is released or the process ends.

    Raises
    ------
    EditRefused
        Another process holds it.
    OutputRefused
        The folder cannot be written.
    """
    try:
        handle = os.open(folder / LOCK, os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o644)
    except OSError as error:
        raise OutputRefused(
            f"the dossier cannot be opened for editing ({error.strerror})",
            where=str(folder),
            remedy="check the folder's permissions; it can still be looked at",
        ) from None
    try:
        _hold(handle)
    except OSError:
        holder = ""
        with suppress(OSError, AttributeError):  # not every system has it
            holder = os.pread(handle, 64, 0).decode("ascii", "replace").strip()
        os.close(handle)
        raise EditRefused(
            "this dossier is open in another workbench" + (f" (process {holder})" if holder else ""),
            code="in_use",
            where=str(folder),
            remedy="use the page that is open already, or stop that workbench first",
        ) from None
    with suppress(OSError):  # who holds it is a courtesy; a full disk does not make the lock worth less
        os.ftruncate(handle, 0)
        os.write(handle, f"{os.getpid()}\n".encode("ascii"))
    return Lock(handle)


if sys.platform == "win32":

    def _hold(handle: int) -> None:
        import msvcrt

        os.lseek(handle, 1000, os.SEEK_SET)  # past the process's number, so that others can read it
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        os.lseek(handle, 0, os.SEEK_SET)

else:

    def _hold(handle: int) -> None:
        import fcntl

        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
