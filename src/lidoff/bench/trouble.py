"""The one form in which the server tells what went wrong."""

from __future__ import annotations

import re

from pydantic import BaseModel, ConfigDict

from lidoff.errors import LidoffError

__all__ = ["Fault", "Trouble", "code_of", "trouble_body", "trouble_of"]


class Fault(BaseModel):
    """One fault of several: what, where, what to do, and the path of the key that it is about."""

    model_config = ConfigDict(extra="forbid")
    what: str
    where: str = ""
    remedy: str = ""
    path: list[str | int] = []


class Trouble(BaseModel):
    """What went wrong, where, and what to do."""

    model_config = ConfigDict(extra="forbid")
    code: str
    what: str
    where: str = ""
    remedy: str = ""
    faults: list[Fault] = []


def code_of(error: LidoffError) -> str:
    """Word by which a page tells sorts of trouble apart: the error's own, else its class in small letters."""
    own = getattr(error, "code", "")
    return own or re.sub(r"(?<!^)(?=[A-Z])", "_", type(error).__name__).lower()


def trouble_of(error: LidoffError) -> Trouble:
    """Trouble that an error tells.

    Parameters
    ----------
    error : LidoffError
        From any room.

    Returns
    -------
    Trouble
        With its single faults.
    """
    faults = [fault_of(fault) for fault in error.faults]
    return Trouble(
        code=code_of(error), what=error.what, where=error.where, remedy=error.remedy, faults=faults
    )


def fault_of(error: LidoffError) -> Fault:
    """One fault, with the path that its place names."""
    return Fault(what=error.what, where=error.where, remedy=error.remedy, path=_path(error.where))


def _path(where: str) -> list[str | int]:
    """Keys that stand at the end of a place such as ``dossier.toml, line 12, parts.R3.value``."""
    found = re.search(r", line \d+, (.+)$", where)
    if found is None:
        return []
    return [int(key) if key.isdigit() else key for key in found.group(1).split(".")]


def trouble_body(*, code: str, what: str, where: str = "", remedy: str = "") -> bytes:
    """Body of an answer that tells trouble."""
    return Trouble(code=code, what=what, where=where, remedy=remedy).model_dump_json().encode("utf-8")
