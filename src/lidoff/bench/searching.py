"""Longer searches, done in processes of their own: slips that would explain the misfits, readings that would tell most."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from lidoff.bench.analyst import dossier_of
from lidoff.bench.jobs import Teller
from lidoff.bench.models import Plain

__all__ = ["next_readings", "slips"]


def next_readings(tell: Teller, texts: Mapping[str, str], folder: Path) -> Plain:
    """Readings that would tell most, in words.

    Parameters
    ----------
    tell : callable (text, share)
        Told of progress.
    texts : mapping of str to str
        State of the dossier.
    folder : Path
        Of the dossier, for its logs.

    Returns
    -------
    dict
        As `proposals_json` tells it.

    Raises
    ------
    DossierError, ImpossibleValue
        The dossier cannot be read, or has no circuit.
    """
    from lidoff.dossier import next_readings_of, proposals_json

    told: Any = proposals_json(next_readings_of(dossier_of(texts, folder), progress=tell))
    return dict(told)


def slips(tell: Teller, texts: Mapping[str, str], folder: Path) -> Plain:
    """Slips that would explain the readings, in words; see `next_readings`."""
    from lidoff.dossier import proposals_json, slips_of

    told: Any = proposals_json(slips_of(dossier_of(texts, folder), progress=tell))
    return dict(told)
