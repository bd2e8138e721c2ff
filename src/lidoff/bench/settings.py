"""Limits and addresses of the server, read once at start."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field
from pathlib import Path

__all__ = ["Settings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How the server is set.

    Attributes
    ----------
    host : str
        Address to listen on; the loopback unless a person says otherwise.
    port : int
        Port to listen on.
    port_is_fixed : bool
        Whether just this port will do; else the next free one is taken.
    key : str
        Secret of this start: who does not show it gets nothing.
    largest_request : int
        Largest body of a request that is no file [bytes].
    largest_photo, largest_log : int
        Largest files that are taken in [bytes]; how many pixels a photo may have is known where it is read.
    seconds_between_looks : float
        How often the folder is looked at for changes by other programs [s].
    seconds_of_phone_code : float
        How long a phone may come in by its code [s].
    seconds_of_phone : float
        How long a phone that came in stays let in [s].
    most_jobs : int
        Most jobs that wait or run at one time.
    shelf : Path or None
        Folder that the other dossiers lie below; the one that this dossier's folder lies in if not told.
    index : Path or None
        File of the shelf's index; in the shelf's folder if not told.
    meters_through : str
        What live meters are spoken to through.
    """

    host: str = "127.0.0.1"
    port: int = 8377
    port_is_fixed: bool = False
    key: str = field(default_factory=lambda: secrets.token_urlsafe(24))
    largest_request: int = 4_000_000
    largest_photo: int = 200_000_000
    largest_log: int = 100_000_000
    seconds_between_looks: float = 1.0
    seconds_of_phone_code: float = 300.0
    seconds_of_phone: float = 7200.0
    most_jobs: int = 8
    shelf: Path | None = None
    index: Path | None = None
    meters_through: str = "@py"

    def shelf_of(self, dossier: Path) -> tuple[Path, Path]:
        """Folder of the shelf and file of its index.

        Parameters
        ----------
        dossier : Path
            Folder of the dossier on the bench.

        Returns
        -------
        tuple of Path
            Neither need exist.
        """
        from lidoff.shelf import INDEX_NAME

        shelf = dossier.resolve().parent if self.shelf is None else self.shelf
        return shelf, shelf / INDEX_NAME if self.index is None else self.index
