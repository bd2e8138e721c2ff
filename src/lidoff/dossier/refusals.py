"""Why a dossier cannot be edited now, in words."""

from __future__ import annotations

from pathlib import Path

from lidoff.errors import EditRefused, LidoffError

__all__ = ["begun_already", "not_taken_in", "read_only"]


def begun_already(folder: Path) -> EditRefused:
    """Error for beginning a dossier where there is one."""
    return EditRefused(
        "this folder holds a dossier already", code="stale", where=str(folder), remedy="reload the page"
    )


def read_only(why: LidoffError, folder: Path) -> EditRefused:
    """Error for an edit in a folder that can be looked at alone."""
    return EditRefused(why.what, code="read_only", where=str(folder), remedy=why.remedy)


def not_taken_in(error: LidoffError) -> EditRefused:
    """Error for an edit of a dossier with a file that was changed outside and cannot be taken in."""
    return EditRefused(
        f"a file was changed by another program and cannot be taken in: {error.what}",
        code="changed_outside",
        where=error.where,
        remedy="mend it there, or choose to keep the workbench's own state, which stands above on the page",
    )
