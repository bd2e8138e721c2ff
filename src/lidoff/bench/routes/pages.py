"""The pages themselves, and the way in."""

from __future__ import annotations

import hmac

from fastapi import APIRouter, Query, Response
from fastapi.responses import PlainTextResponse, RedirectResponse

from lidoff.bench.bench import Bench
from lidoff.bench.built_pages import page_file
from lidoff.errors import UnknownName

__all__ = ["routes"]

PLACES = ("evidence", "boards", "circuit", "findings", "publish", "shelf")
"""Places of the one page, each with an address of its own."""


def routes(bench: Bench) -> APIRouter:
    """Routes of the pages; they stand last, since they take what no other took."""
    router = APIRouter(tags=["pages"])

    @router.get("/enter", response_class=Response, include_in_schema=False)
    def enter(key: str = Query(default="", max_length=200)) -> Response:
        """Let the browser in that shows the key of this start."""
        if not hmac.compare_digest(key.encode(), bench.settings.key.encode()):
            return PlainTextResponse(
                "This key is not that of this start. Open the address that the command printed.\n",
                status_code=401,
            )
        answer = RedirectResponse("/", status_code=303)
        name = f"lidoff_bench_{bench.settings.port}"
        answer.set_cookie(name, key, httponly=True, samesite="strict")
        return answer

    @router.get("/", response_class=Response, include_in_schema=False)
    def index() -> Response:
        """Give the page."""
        return page_file("index.html")

    @router.get("/{path:path}", response_class=Response, include_in_schema=False)
    def page(path: str) -> Response:
        """Give a file of the pages; a place of the page is the page itself."""
        if path.startswith("api/"):
            raise UnknownName(f"the server knows no /{path}", remedy="reload the page")
        return page_file("index.html" if path.strip("/") in PLACES else path)

    return router
