"""Plain data of ``dossier.toml``, read once for each state of it."""

from __future__ import annotations

from functools import lru_cache

from pydantic import JsonValue

from lidoff.bench.models import Plain
from lidoff.dossier.documents import Documents
from lidoff.dossier.entries import Photo
from lidoff.dossier.formats import forward
from lidoff.dossier.loading import FILE_NAME
from lidoff.errors import DossierError

__all__ = ["photos_named", "plain_document"]


def plain_document(documents: Documents) -> Plain:
    """Plain data of a state's ``dossier.toml``, in the newest version of the format.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of the state.

    Returns
    -------
    dict
        Not to be changed; empty where there is no such file, or it is not TOML.
    """
    return _document(documents.get(FILE_NAME, ""))


def photos_named(documents: Documents) -> list[Photo]:
    """Photos as ``dossier.toml`` names them, be its other entries as they may.

    Parameters
    ----------
    documents : mapping of str to str
        Texts of the state.

    Returns
    -------
    list of Photo
        Those with a file, in the order of the dossier.
    """
    rows = plain_document(documents).get("photos")
    words = [
        {key: value for key, value in row.items() if isinstance(value, str)}
        for row in (rows if isinstance(rows, list) else [])
        if isinstance(row, dict)
    ]
    return [
        Photo(
            file=row["file"],
            board=row.get("board", ""),
            side=row.get("side", ""),
            shows=row.get("shows", ""),
        )
        for row in words
        if "file" in row
    ]


@lru_cache(maxsize=4)  # several ask after each edit
def _document(text: str) -> Plain:
    try:
        told = forward(text, FILE_NAME).document
    except DossierError:
        return {}
    return {name: _plain(value) for name, value in told.items()}


def _plain(value: object) -> JsonValue:
    """Value as JSON can hold it: dates, which a dossier has none of, as they are written."""
    if isinstance(value, dict):
        return {name: _plain(entry) for name, entry in value.items()}
    if isinstance(value, list):
        return [_plain(entry) for entry in value]
    return value if isinstance(value, (str, int, float, bool)) else str(value)
