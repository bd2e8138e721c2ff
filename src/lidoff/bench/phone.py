"""Letting one phone in for a while: to send photos and to walk the probe plan, and for nothing else."""

from __future__ import annotations

import hmac
import io
import re
import secrets
import threading
import time
from collections.abc import Callable

from pydantic import BaseModel, ConfigDict

from lidoff.bench.events import Events
from lidoff.bench.settings import Settings

__all__ = ["Phone", "PhoneTold"]

_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"  # none that looks like another
_MAY = (
    ("GET", re.compile(r"/phone(/[A-Za-z0-9._/-]*)?|/assets/[A-Za-z0-9._-]+|/phone\.html")),
    ("PUT", re.compile(r"/api/files/photos/[^/]+")),
    ("GET", re.compile(r"/api/phone/boards|/api/boards/[^/]+/probe-plan")),
    ("POST", re.compile(r"/api/phone/beep")),
)


class PhoneTold(BaseModel):
    """Whether a phone may come in, by which address and code, and until when.

    `possible` tells whether one can reach the server at all.
    """

    model_config = ConfigDict(extra="forbid")
    on: bool
    possible: bool
    address: str = ""
    code: str = ""
    qr_svg: str = ""
    expires: float = 0.0
    seen: bool = False
    why_not: str = ""


class Phone:
    """The door for a phone; shut until a person opens it.

    Parameters
    ----------
    settings : Settings
        How long codes and phones last.
    events : Events
        Told when it opens, shuts, and when a phone came in.
    tick : callable () → float
        A clock that only goes forward [s].
    """

    def __init__(
        self, settings: Settings, events: Events, tick: Callable[[], float] = time.monotonic
    ) -> None:
        self._settings = settings
        self._events = events
        self._tick = tick
        self._guard = threading.Lock()
        self._on = False
        self._code = ""
        self._code_until = 0.0
        self._key = ""
        self._key_until = 0.0
        self._wrong = 0
        self.host = ""
        self.why_not = "the server listens on this computer alone; start it with --phone to let a phone in"

    def turn(self, on: bool) -> None:
        """Open the door with a new code, or shut it and put a phone that is in out.

        Parameters
        ----------
        on : bool
            Whether a phone may come in.
        """
        with self._guard:
            self._on = on and bool(self.host)
            self._key, self._key_until, self._wrong = "", 0.0, 0
            self._code = "".join(secrets.choice(_LETTERS) for _ in range(10)) if self._on else ""
            self._code_until = self._tick() + self._settings.seconds_of_phone_code
        self._events.tell("phone", on=self._on, seen=False)

    def open_host(self) -> str:
        """Host and port by which a phone reaches the server, while one may come; empty else."""
        with self._guard:
            until = self._key_until if self._key else self._code_until
            return self.host if self._on and self._tick() < until else ""

    def told(self) -> PhoneTold:
        """How the door stands."""
        with self._guard:
            if not self._on:
                return PhoneTold(
                    on=False, possible=bool(self.host), why_not="" if self.host else self.why_not
                )
            left = max(0.0, (self._key_until if self._key else self._code_until) - self._tick())
            if left == 0.0:
                return PhoneTold(on=False, possible=True, why_not="the code has run out")
            address = f"http://{self.host}/phone?code={self._code}" if self._code else ""
            return PhoneTold(
                on=True,
                possible=True,
                address=address,
                code=self._code,
                qr_svg=_qr(address),
                expires=left,
                seen=bool(self._key),
            )

    def enter(self, code: str) -> str:
        """Key for the phone that shows the code; empty for a wrong one. A code opens once.

        Parameters
        ----------
        code : str
            As shown.

        Returns
        -------
        str
            To be put into its cookie.
        """
        with self._guard:
            if not self._on or not self._code or self._tick() > self._code_until:
                return ""
            if not hmac.compare_digest(code.encode(), self._code.encode()):
                self._wrong += 1
                if self._wrong >= 10:
                    self._on, self._code = False, ""  # somebody guesses
                return ""
            self._code = ""
            self._key = secrets.token_urlsafe(24)
            self._key_until = self._tick() + self._settings.seconds_of_phone
            key = self._key
        self._events.tell("phone", on=True, seen=True)
        return key

    def may(self, key: str, method: str, path: str) -> bool:
        """Whether a phone with this key may do this now.

        Parameters
        ----------
        key : str
            As its cookie tells.
        method, path : str
            Of the request.

        Returns
        -------
        bool
            False for all but photos and the probe plan.
        """
        with self._guard:
            if not (self._on and self._key and self._tick() < self._key_until):
                return False
            if not hmac.compare_digest(key.encode(), self._key.encode()):
                return False
        return any(method == one and pattern.fullmatch(path) for one, pattern in _MAY)


def _qr(address: str) -> str:
    """Address as a square of dots that a phone's camera reads; dark on light in every theme."""
    if not address:
        return ""
    import segno

    out = io.BytesIO()
    segno.make(address, error="m").save(
        out,
        kind="svg",
        border=3,
        dark="#1d2433",
        light="#faf7f0",
        xmldecl=False,
        svgclass=None,
        lineclass=None,
    )
    return out.getvalue().decode("utf-8").strip()
