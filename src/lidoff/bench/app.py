"""The application, made from a dossier's folder and settings: a test makes ten of them."""

from __future__ import annotations

import logging
from collections.abc import AsyncIterator, Callable, Iterable
from contextlib import asynccontextmanager
from http import HTTPStatus

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import Response
from starlette.types import ASGIApp

from lidoff.bench.bench import Bench
from lidoff.bench.guard import Guard
from lidoff.bench.routes import (
    analysis,
    beginning,
    board,
    classes,
    edits,
    files,
    meters,
    pages,
    phone,
    publish,
    shelf,
    state,
    typing_help,
)
from lidoff.bench.trouble import Fault, Trouble, code_of, trouble_of
from lidoff.errors import LidoffError, OutputRefused, UnknownName

__all__ = ["create_app", "create_inner_app"]

_log = logging.getLogger("lidoff.bench")
_STATUS = {"read_only": 403, "busy": 503}
_ROUTES = (
    state,
    edits,
    analysis,
    typing_help,
    files,
    meters,
    board,
    classes,
    publish,
    shelf,
    phone,
    beginning,
    pages,
)


def create_inner_app(bench: Bench) -> FastAPI:
    """Application without the check before it.

    Parameters
    ----------
    bench : Bench
        What it answers from; started and closed with the application.

    Returns
    -------
    FastAPI
        With all routes.
    """

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        bench.start()
        try:
            yield
        finally:
            bench.close()

    app = FastAPI(
        title="lidoff workbench",
        version="1",
        description="What the workbench's pages ask of the server that holds one dossier.",
        openapi_url="/api/openapi.json",
        docs_url=None,
        redoc_url=None,
        lifespan=lifespan,
        responses={
            code: {"model": Trouble, "description": HTTPStatus(code).phrase}
            for code in (400, 401, 403, 404, 409, 413, 415, 421, 422, 503, 507)
        },
        generate_unique_id_function=lambda route: route.name,
    )
    app.add_exception_handler(LidoffError, _lidoff_error)
    app.add_exception_handler(RequestValidationError, _unclear)
    app.add_exception_handler(HTTPException, _http_error)
    app.add_exception_handler(OSError, _computer_refused)
    app.add_exception_handler(Exception, _own_fault)
    for module in _ROUTES:
        app.include_router(module.routes(bench))
    return app


def create_app(bench: Bench, *, hosts: Callable[[], Iterable[str]] | None = None) -> ASGIApp:
    """Application with the check of Host, Origin and key before it.

    Parameters
    ----------
    bench : Bench
        What it answers from.
    hosts : callable () → iterable of str, optional
        Names with port by which the server is reached; the loopback's if not given.

    Returns
    -------
    ASGI application
        Ready to be served.
    """
    port = bench.settings.port

    def own_hosts() -> Iterable[str]:
        return (f"127.0.0.1:{port}", f"localhost:{port}", f"[::1]:{port}")

    inner = create_inner_app(bench)
    return Guard(inner, bench.settings, bench.phone.may, hosts or own_hosts, bench.phone.open_host)


def _answer(status: int, trouble: Trouble) -> Response:
    return Response(trouble.model_dump_json(), status_code=status, media_type="application/json")


def _lidoff_error(request: Request, error: Exception) -> Response:
    assert isinstance(error, LidoffError)
    status = _STATUS.get(code_of(error), error.http_status)
    if request.method == "GET" and isinstance(error, UnknownName):
        status = 404  # the address names what is not there
    return _answer(status, trouble_of(error))


def _unclear(_request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    faults = [
        Fault(what=str(one["msg"]), where=".".join(str(step) for step in one["loc"]))
        for one in error.errors()[:20]
    ]
    what = "the request cannot be read" + (f": {faults[0].where}: {faults[0].what}" if faults else "")
    return _answer(422, Trouble(code="request_unclear", what=what, faults=faults))


def _http_error(_request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    code = {404: "not_found", 405: "not_found", 413: "too_large"}.get(error.status_code, "request_unclear")
    trouble = Trouble(code=code, what=str(error.detail).lower())
    answer = _answer(error.status_code, trouble)
    for name, value in (error.headers or {}).items():
        answer.headers[name] = value
    return answer


def _computer_refused(request: Request, error: Exception) -> Response:
    """Answer for a file that went away or cannot be used just now, such as on a share; any other such error is our own."""
    assert isinstance(error, OSError)
    if error.filename is None:
        return _own_fault(request, error)
    refused = OutputRefused(
        f"the computer refused: {error.strerror or error}",
        where=str(error.filename),
        remedy="look whether the file and its disk or share are there, then try again",
    )
    return _answer(refused.http_status, trouble_of(refused))


def _own_fault(_request: Request, error: Exception) -> Response:
    _log.error("the server failed", exc_info=error)
    what = f"lidoff itself failed ({type(error).__name__})"
    return _answer(
        500, Trouble(code="own_fault", what=what, remedy="please report it with what the terminal shows")
    )
