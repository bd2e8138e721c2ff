"""Changing the dossier: edits, undo, redo, and what to do with files that were changed outside."""

from __future__ import annotations

from fastapi import APIRouter

from lidoff.bench.bench import Bench
from lidoff.bench.models import Acknowledged, EditAsked, KeepOwn, State, StepAsked

__all__ = ["routes"]


def routes(bench: Bench) -> APIRouter:
    """Routes that change the dossier."""
    router = APIRouter(prefix="/api", tags=["edits"])

    @router.post("/edits")
    def edit(asked: EditAsked) -> Acknowledged:
        """Make an edit; it is on the disk when this answers."""
        return bench.edit(asked.edit, base=asked.base, id=asked.id, page=asked.page)

    @router.post("/undo")
    def undo(asked: StepAsked) -> Acknowledged:
        """Take the last change back."""
        return bench.undo(base=asked.base, id=asked.id, page=asked.page)

    @router.post("/redo")
    def redo(asked: StepAsked) -> Acknowledged:
        """Make the change that was last undone again."""
        return bench.redo(base=asked.base, id=asked.id, page=asked.page)

    @router.post("/outside")
    def outside(_asked: KeepOwn) -> State:
        """Write the workbench's own state over files that were changed outside; those are kept beside."""
        return bench.keep_own()

    return router
