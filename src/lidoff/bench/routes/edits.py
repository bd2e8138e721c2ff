"""Changing the dossier: edits, undo, redo, and what to do with files that were changed outside."""

from __future__ import annotations

from fastapi import APIRouter, Response

from lidoff.bench.bench import Bench
from lidoff.bench.models import Acknowledged, EditAsked, KeepOwn, Shows, State, StepAsked
from lidoff.bench.showing import shown_after, view_of

__all__ = ["routes"]


def routes(bench: Bench) -> APIRouter:
    """Routes that change the dossier."""
    router = APIRouter(prefix="/api", tags=["edits"])

    def answer(done: Acknowledged, shows: Shows | None) -> Response:
        """What was done with what the page shows of it, written out once: this answer is what a hand waits for."""
        told = done.model_copy(update={"shown": shown_after(bench, shows)})
        return Response(told.model_dump_json(), media_type="application/json")

    @router.post("/edits", response_model=Acknowledged)
    def edit(asked: EditAsked) -> Response:
        """Make an edit; it is on the disk when this answers."""
        view = None if asked.shows is None else view_of(asked.shows)
        done = bench.edit(asked.edit, base=asked.base, id=asked.id, page=asked.page, shows=view)
        return answer(done, asked.shows)

    @router.post("/undo", response_model=Acknowledged)
    def undo(asked: StepAsked) -> Response:
        """Take the last change back."""
        view = None if asked.shows is None else view_of(asked.shows)
        return answer(bench.undo(base=asked.base, id=asked.id, page=asked.page, shows=view), asked.shows)

    @router.post("/redo", response_model=Acknowledged)
    def redo(asked: StepAsked) -> Response:
        """Make the change that was last undone again."""
        view = None if asked.shows is None else view_of(asked.shows)
        return answer(bench.redo(base=asked.base, id=asked.id, page=asked.page, shows=view), asked.shows)

    @router.post("/outside")
    def outside(_asked: KeepOwn) -> State:
        """Write the workbench's own state over files that were changed outside; those are kept beside."""
        return bench.keep_own()

    return router
