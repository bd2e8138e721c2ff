"""What stands before every request: who asks, from which page, how much it brings, and what its answer may do in a browser.

Three questions: is the Host one of ours (else a foreign name was pointed at this address), does the Origin, where there is one,
belong to our own page, and does the request show the key of this start. A phone that was let in shows a key of its own that
opens a few paths alone.
"""

from __future__ import annotations

import asyncio
import hmac
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from contextlib import suppress
from typing import Any

from lidoff.bench.settings import Settings
from lidoff.bench.trouble import trouble_body

__all__ = ["DRAWING_POLICY", "FREE_PATHS", "PAGE_POLICY", "TOO_LONG", "Guard"]

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

PAGE_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; style-src-attr 'unsafe-inline'; img-src 'self' blob: data:; "
    "font-src 'self'; connect-src 'self'; frame-src 'self' blob:; worker-src 'self' blob:; manifest-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'self'"
)
"""What our pages may load: nothing from elsewhere and no script written into a page."""

DRAWING_POLICY = "default-src 'none'; style-src 'unsafe-inline'"
"""A drawing that is opened alone is a page of its own: nothing but its own style may act in it."""

FREE_PATHS = ("/enter", "/phone")
"""Paths that a browser opens without a key, to get one."""

TOO_LONG = "lidoff.too_long"
"""Set in the scope of a request whose body was cut off."""
_DRAINED = 65_536  # of a refused request [bytes]
_SAFE = {"GET", "HEAD", "OPTIONS"}


class Guard:
    """The check before the application.

    Parameters
    ----------
    app : ASGI application
        What stands behind.
    settings : Settings
        Key, addresses and limits.
    phone_may : callable (key, method, path) → bool
        Whether a phone with this key may do this now.
    hosts : callable () → iterable of str
        Names and addresses with port by which a browser of this computer reaches the server.
    phone_host : callable () → str
        The one by which a phone does, while one may come; empty else.
    """

    def __init__(
        self,
        app: App,
        settings: Settings,
        phone_may: Callable[[str, str, str], bool],
        hosts: Callable[[], Iterable[str]],
        phone_host: Callable[[], str],
    ) -> None:
        self._app = app
        self._settings = settings
        self._phone_may = phone_may
        self._hosts = hosts
        self._phone_host = phone_host

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request through, or answer why not."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._app(scope, receive, send)
            return  # no web sockets: nothing here speaks by them
        headers = {
            name.decode("latin-1").lower(): value.decode("latin-1") for name, value in scope["headers"]
        }
        refused = self._refusal(scope, headers)
        if refused is not None:
            await _drain(receive)
            await _answer(send, *refused)
            return
        limit = self._limit(scope["method"], scope["path"])
        if _too_long(headers, limit):
            await _drain(receive)
            await _answer(
                send, 413, "too_large", f"the request has more than {limit / 1e6:g} MB", "send less at once"
            )
            return
        await self._app(scope, _Counted(scope, receive, limit), _with_headers(send))

    def _refusal(self, scope: Scope, headers: dict[str, str]) -> tuple[int, str, str, str] | None:
        method, path = scope["method"], scope["path"]
        host = headers.get("host", "")
        from_network = host != "" and host == self._phone_host()
        if not from_network and host not in set(self._hosts()):
            return (
                421,
                "foreign_page",
                f"this server is not called {host!r}",
                "open the address that it printed",
            )
        origin = headers.get("origin")
        if origin is not None and origin != f"http://{host}":
            return (
                403,
                "foreign_page",
                f"a page of {origin!r} may not ask this server",
                "use the workbench's own page",
            )
        if (
            origin is None
            and method not in _SAFE
            and headers.get("sec-fetch-site", "none") not in ("none", "same-origin")
        ):
            return (
                403,
                "foreign_page",
                "a page of another site may not change anything here",
                "use the workbench's own page",
            )
        if path in FREE_PATHS and (path == "/phone" or not from_network):
            return None
        # Over the network not even the key of this start opens more than a phone may do.
        shown = [] if from_network else _keys(headers, self.cookie)
        if any(hmac.compare_digest(one.encode(), self._settings.key.encode()) for one in shown):
            return None
        if any(self._phone_may(one, method, path) for one in _keys(headers, self.phone_cookie)):
            scope["lidoff.phone"] = True
            return None
        return (
            401,
            "wrong_key",
            "this request does not show the key of this start",
            "open the address that the command printed",
        )

    @property
    def cookie(self) -> str:
        """Name of the cookie that holds the key; cookies do not tell ports apart, so the name does."""
        return f"lidoff_bench_{self._settings.port}"

    @property
    def phone_cookie(self) -> str:
        """Name of the cookie of a phone."""
        return f"lidoff_phone_{self._settings.port}"

    def _limit(self, method: str, path: str) -> int:
        if method == "PUT" and path.startswith("/api/files/photos/"):
            return self._settings.largest_photo
        if method == "PUT" and path.startswith("/api/files/logs/"):
            return self._settings.largest_log
        return self._settings.largest_request


def _keys(headers: dict[str, str], cookie: str) -> list[str]:
    """Keys that a request shows, in its header or in a cookie."""
    found = [headers["x-bench-key"]] if "x-bench-key" in headers else []
    for piece in headers.get("cookie", "").split(";"):
        name, _, value = piece.strip().partition("=")
        if name == cookie:
            found.append(value)
    return found


def _too_long(headers: dict[str, str], limit: int) -> bool:
    told = headers.get("content-length", "")
    return told.isdigit() and int(told) > limit


class _Counted:
    """A request's body, cut off where it becomes too long without having said so."""

    def __init__(self, scope: Scope, receive: Receive, limit: int) -> None:
        self._scope = scope
        self._receive = receive
        self._left = limit

    async def __call__(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request":
            self._left -= len(message.get("body", b""))
            if self._left < 0:
                # The application takes it for a browser that went away, and keeps nothing.
                self._scope[TOO_LONG] = True
                return {"type": "http.disconnect"}
        return message


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = list(message.get("headers", []))
            have = {name.lower() for name, _ in headers}
            for name, value in _HEADERS:
                if name not in have:
                    headers.append((name, value))
            message = {**message, "headers": headers}
        await send(message)

    return sending


_HEADERS = (
    (b"content-security-policy", PAGE_POLICY.encode("ascii")),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


async def _drain(receive: Receive) -> None:
    """Take the beginning of a body that nobody reads: a connection closed on unread bytes is cut before the answer arrives."""
    left = _DRAINED
    with suppress(TimeoutError):
        async with asyncio.timeout(1.0):
            while left > 0:
                message = await receive()
                left -= len(message.get("body", b""))
                if message["type"] != "http.request" or not message.get("more_body"):
                    return


async def _answer(send: Send, status: int, code: str, what: str, remedy: str) -> None:
    body = trouble_body(code=code, what=what, remedy=remedy)
    headers = [
        (b"content-type", b"application/json"),
        (b"content-length", str(len(body)).encode()),
        (b"connection", b"close"),
    ]
    await _with_headers(send)({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
