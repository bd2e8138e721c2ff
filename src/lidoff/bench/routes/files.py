"""Photos and logs: taking them in, and showing them."""

from __future__ import annotations

from typing import Annotated, Literal

from fastapi import APIRouter, Header, Query, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from lidoff.bench.bench import Bench
from lidoff.bench.files import file_inside, kind_of_file, receive, safe_name
from lidoff.bench.guard import TOO_LONG
from lidoff.bench.log_told import LogTold, log_told
from lidoff.bench.models import Acknowledged, Closed
from lidoff.bench.pictures import TILE
from lidoff.dossier.edits import Attach
from lidoff.dossier.faults import read_documents
from lidoff.errors import ImpossibleValue

__all__ = ["routes"]

LASTING = {"Cache-Control": "private, max-age=3600"}


class PhotoTold(Closed):
    """One photo: its size, how it is cut into tiles, and the hash of its file."""

    path: str
    width: int
    height: int
    levels: int
    tile: int
    sha256: str


def routes(bench: Bench) -> APIRouter:
    """Routes of the files."""
    router = APIRouter(prefix="/api", tags=["files"])

    @router.put("/files/{folder}/{name}")
    async def put_file(
        request: Request,
        folder: Literal["photos", "logs"],
        name: str,
        board: Annotated[str, Query(max_length=80)] = "",
        side: Literal["front", "back", ""] = "",
        caption: Annotated[str, Query(max_length=500)] = "",
        x_edit_id: Annotated[str, Header(max_length=64)] = "",
        x_page: Annotated[str, Header(max_length=80)] = "",
    ) -> Acknowledged:
        """Take a photo or a log into the dossier; a photo is told to the dossier by an edit that can be undone."""
        wanted = safe_name(name)
        if (kind_of_file(wanted) == "photo") != (folder == "photos"):
            raise ImpossibleValue(f"{name!r} does not belong into {folder}", remedy="send it as what it is")
        from_phone = bool(request.scope.get("lidoff.phone"))
        done = bench.received_before(x_edit_id)
        if done is not None:
            return done.model_copy(update={"state": None}) if from_phone else done
        bench.check_writable()
        settings = bench.settings
        limit = settings.largest_photo if folder == "photos" else settings.largest_log
        try:
            beside = await receive(request.stream(), bench.folder, folder, wanted, limit)
        except ClientDisconnect:
            if request.scope.get(TOO_LONG):
                raise HTTPException(413, f"the file has more than {limit / 1e6:g} MB") from None
            raise HTTPException(
                400, "the file did not come whole"
            ) from None  # nobody hears it: the sender is gone
        page = "phone" if from_phone else x_page

        def take() -> Acknowledged:
            path = bench.keep_received(beside, folder, wanted)
            bench.events.tell("files", path=path)
            if folder == "logs":
                return bench.nothing_changed(id=x_edit_id, page=page, file=path)
            edit = Attach(file_path=path, board=board, side=side, caption=caption)
            # A file more rests on no state: nothing that others do meanwhile stands against it.
            return bench.edit(edit, base=bench.desk.revision, id=x_edit_id, page=page, file=path)

        answer = await run_in_threadpool(take)
        return answer.model_copy(update={"state": None}) if from_phone else answer

    @router.get("/photos/{name}")
    def photo(name: str) -> PhotoTold:
        """Tell a photo's size and how it is cut into tiles."""
        pyramid = bench.pictures.photo(file_inside(bench.folder, f"photos/{name}"))
        return PhotoTold(
            path=f"photos/{name}",
            width=pyramid.width,
            height=pyramid.height,
            levels=len(pyramid.scales),
            tile=TILE,
            sha256=pyramid.sha256,
        )

    @router.get("/photos/{name}/tiles/{z}/{x}/{y}.jpg", response_class=Response)
    def photo_tile(name: str, z: int, x: int, y: int) -> Response:
        """Give one tile of a photo."""
        file = file_inside(bench.folder, f"photos/{name}")
        return Response(bench.pictures.photo_tile(file, z, x, y), media_type="image/jpeg", headers=LASTING)

    @router.get("/photos/{name}/small.jpg", response_class=Response)
    def photo_small(name: str, size: Annotated[int, Query(ge=16, le=2048)] = 480) -> Response:
        """Give a photo small."""
        pyramid = bench.pictures.photo(file_inside(bench.folder, f"photos/{name}"))
        return Response(pyramid.small(size), media_type="image/jpeg", headers=LASTING)

    @router.get("/logs/{name}")
    def log(name: str, points: Annotated[int, Query(ge=2, le=5000)] = 2000) -> LogTold:
        """Tell a log's channels over time, its sums, and the readings that it offers."""
        path = f"logs/{name}"
        content = file_inside(bench.folder, path).read_bytes()
        return log_told(content, points, path=path, dossier=read_documents(bench.desk.documents).dossier)

    return router
