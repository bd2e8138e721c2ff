"""The shelf: all dossiers beside this one, read off the requests, searched, and held against the circuit on the bench."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response

from lidoff.bench import shelf_told
from lidoff.bench.bench import Bench
from lidoff.bench.comparing import dossier_on_shelf
from lidoff.bench.guard import DRAWING_POLICY
from lidoff.bench.jobs import Job
from lidoff.bench.shelf_models import (
    ShelfAsked,
    ShelfDossier,
    ShelfFound,
    ShelfLike,
    ShelfLikeness,
    ShelfRecords,
    ShelfTold,
)
from lidoff.errors import ImpossibleValue, LidoffError

__all__ = ["routes"]

Asked = Annotated[ShelfAsked, Query()]


def routes(bench: Bench) -> APIRouter:
    """Routes of the shelf."""
    router = APIRouter(prefix="/api/shelf", tags=["shelf"])
    shelf, index = bench.settings.shelf_of(bench.folder)

    @router.get("")
    def shelf_state() -> ShelfTold:
        """Tell what is known of the shelf."""
        return shelf_told.shelf_told(shelf, index, bench.folder)

    @router.post("/read")
    def shelf_read() -> Job:
        """Start reading the dossiers that changed since the shelf was last read."""
        return bench.jobs.start("shelf", shelf_told.update_shelf, shelf, index)

    @router.get("/search")
    def shelf_search(asked: Asked) -> ShelfFound:
        """Find dossiers that have all that is asked for: words, parts, markings, blocks, values, claims."""
        return shelf_told.found_on(index, asked, shelf_told.own_folder(shelf, bench.folder))

    @router.get("/dossier")
    def shelf_dossier(folder: Annotated[str, Query(max_length=400)]) -> ShelfDossier:
        """Tell what a dossier of the shelf comes to: its claims with their verdicts, and its findings."""
        place = dossier_on_shelf(shelf, folder)
        told = bench.beside.ask(shelf_told.dossier_told, folder, place).result()
        if isinstance(told, LidoffError):
            raise told
        return ShelfDossier.model_validate(told)

    @router.get("/claims")
    def shelf_claims(asked: Asked) -> ShelfRecords:
        """Tell how claims fared, of the dossiers that have what is asked for, or of all."""
        records = shelf_told.records_on(index, asked)
        return ShelfRecords(records=[shelf_told.record_told(one) for one in records])

    @router.get("/claims.svg", response_class=Response)
    def shelf_claims_picture(asked: Asked) -> Response:
        """Draw how far claims overstate."""
        picture = shelf_told.records_picture(shelf_told.records_on(index, asked))
        headers = {"Content-Security-Policy": DRAWING_POLICY}
        return Response(picture, media_type="image/svg+xml", headers=headers)

    @router.post("/alike")
    def shelf_alike(asked: ShelfLike) -> ShelfLikeness:
        """Find circuits like the one on the bench, or like what some of its parts are in."""
        quick, full = bench.live.quick(5.0), bench.live.full()
        if quick is None:
            raise ImpossibleValue(
                "there is no circuit to look for", remedy="begin the dossier, then add parts"
            )
        blocks = (full.analysis or {}).get("blocks", []) if full is not None else []
        own = shelf_told.own_folder(shelf, bench.folder)
        return shelf_told.alike_on(index, quick, blocks, asked, own)

    return router
