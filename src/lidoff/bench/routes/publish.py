"""Publishing: the report to look at, stills, files to take away."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response
from pydantic import Field, StringConstraints

from lidoff.bench import exporting, publishing
from lidoff.bench.bench import Bench
from lidoff.bench.exporting import DrawAsked, ExportTold, StillsAsked, exports_of
from lidoff.bench.guard import DRAWING_POLICY
from lidoff.bench.jobs import Job
from lidoff.bench.models import Closed
from lidoff.bench.plain_document import plain_document
from lidoff.bench.publishing import StillTold
from lidoff.errors import LidoffError, UnknownName

__all__ = ["REPORT_POLICY", "routes"]

REPORT_POLICY = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; font-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'self'; sandbox allow-scripts"
)
"""The report is one page with its script in it; the sandbox gives it an origin of its own, so that it can ask nothing here."""


class PublishAsked(Closed):
    """What to write into the dossier's folder."""

    what: Annotated[
        list[Annotated[str, StringConstraints(max_length=120)]], Field(min_length=1, max_length=200)
    ]


class TakeAsked(DrawAsked, StillsAsked):
    """How a file is to be made, as far as it can be chosen."""


def routes(bench: Bench) -> APIRouter:
    """Routes of publishing."""
    router = APIRouter(prefix="/api", tags=["publish"])

    def asked_beside(function: object, *arguments: object) -> object:
        answer = bench.beside.ask(function, dict(bench.desk.documents), bench.folder, *arguments).result()  # type: ignore[arg-type]
        if isinstance(answer, LidoffError):
            raise answer
        return answer

    @router.get("/report.html", response_class=Response)
    def report() -> Response:
        """Give the report of the present state."""
        headers = {"Content-Security-Policy": REPORT_POLICY}
        return Response(str(asked_beside(publishing.report_page)), media_type="text/html", headers=headers)

    @router.get("/stills")
    def stills() -> list[StillTold]:
        """Tell the stills, those shown first in their order."""
        return [StillTold.model_validate(one) for one in asked_beside(publishing.stills)]  # type: ignore[attr-defined]

    @router.get("/stills/{name}.png", response_class=Response)
    def still(name: str, size: Annotated[int, Query(ge=160, le=3840)] = 640) -> Response:
        """Give one still as a picture."""
        data = asked_beside(publishing.still_picture, name, size)
        assert isinstance(data, bytes)
        return Response(data, media_type="image/png")

    @router.get("/exports")
    def exports() -> list[ExportTold]:
        """Tell the files that can be taken away."""
        return told_exports()

    def told_exports() -> list[ExportTold]:
        documents = bench.desk.documents
        return exports_of(plain_document(documents), documents)

    @router.get("/exports/{name}", response_class=Response)
    def take(name: str, drawn: Annotated[TakeAsked, Query()]) -> Response:
        """Give one file to take away; what is asked of drawing and stills counts where the file is one of these."""
        known = {one.name: one for one in told_exports()}
        if name not in known:
            raise UnknownName(f"there is no export {name!r}", name=name, known=known)
        told = drawn.model_dump()
        still = StillsAsked(**{field: told.pop(field) for field in StillsAsked.model_fields})
        data = asked_beside(exporting.export, name, DrawAsked(**told), still)
        assert isinstance(data, bytes)
        headers = {
            "Content-Disposition": f'attachment; filename="{name}"',
            "Content-Security-Policy": REPORT_POLICY if name == "report.html" else DRAWING_POLICY,
        }
        return Response(data, media_type=known[name].media, headers=headers)

    @router.post("/publish")
    def publish(asked: PublishAsked) -> Job:
        """Start writing files into the dossier's folder ``out``."""
        bench.check_writable()
        known = {*(one.name for one in told_exports()), publishing.STILLS}
        for name in asked.what:
            if name not in known:
                raise UnknownName(f"there is no export {name!r}", name=name, known=known)
        arguments = (dict(bench.desk.documents), bench.folder, tuple(dict.fromkeys(asked.what)))
        return bench.jobs.start("publish", publishing.publish, *arguments)

    return router
