"""The phone: letting it in, and the little that it may ask."""

from __future__ import annotations

from fastapi import APIRouter, Query, Response
from fastapi.responses import PlainTextResponse, RedirectResponse

from lidoff.bench.bench import Bench
from lidoff.bench.built_pages import page_file
from lidoff.bench.models import Closed, Id, Name
from lidoff.bench.phone import PhoneTold
from lidoff.dossier.edits import Beep

__all__ = ["routes"]


class PhoneAsked(Closed):
    """Whether a phone may come in."""

    on: bool


class BoardName(Closed):
    """One board that has a probe plan."""

    name: str
    title: str


class PhoneBoards(Closed):
    """What a phone may know of the dossier: its title and its boards."""

    title: str
    boards: list[BoardName]
    revision: int


class PhoneBeep(Closed):
    """What the beeper said, from a phone."""

    id: Id
    board: Name
    first: Name
    second: Name
    joined: bool


class PhoneDone(Closed):
    """Revision after what a phone sent."""

    revision: int


def routes(bench: Bench) -> APIRouter:
    """Routes of the phone."""
    router = APIRouter(tags=["phone"])

    @router.get("/api/phone")
    def phone() -> PhoneTold:
        """Tell whether a phone may come in, and by which code."""
        return bench.phone.told()

    @router.post("/api/phone")
    def phone_turn(asked: PhoneAsked) -> PhoneTold:
        """Let a phone in by a new code, or put it out."""
        bench.phone.turn(asked.on)
        return bench.phone.told()

    @router.get("/phone", response_class=Response, include_in_schema=False)
    def phone_enter(code: str = Query(default="", max_length=40)) -> Response:
        """Let the phone in that shows the code, or show it its page."""
        if not code:
            return page_file("phone.html")
        key = bench.phone.enter(code)
        if not key:
            return PlainTextResponse(
                "This code is wrong, was used, or has run out. Ask for a new code on the workbench's page.\n",
                status_code=401,
            )
        answer = RedirectResponse("/phone", status_code=303)
        answer.set_cookie(
            f"lidoff_phone_{bench.settings.port}",
            key,
            max_age=int(bench.settings.seconds_of_phone),
            httponly=True,
            samesite="strict",
        )
        return answer

    @router.get("/api/phone/boards")
    def phone_boards() -> PhoneBoards:
        """Tell a phone which boards there are."""
        state = bench.state()
        document = state.document
        rows = document.get("boards")
        named = rows.items() if isinstance(rows, dict) else ()
        found = [
            BoardName(name=name, title=str(row.get("title", name)) if isinstance(row, dict) else name)
            for name, row in named
        ]
        device = document.get("device")
        title = str(device.get("title", "")) if isinstance(device, dict) else ""
        return PhoneBoards(title=title, boards=found, revision=state.revision)

    @router.post("/api/phone/beep")
    def phone_beep(asked: PhoneBeep) -> PhoneDone:
        """Take what the beeper said."""
        edit = Beep(board=asked.board, first=asked.first, second=asked.second, joined=asked.joined)
        done = bench.edit(edit, base=bench.desk.revision, id=asked.id, page="phone")
        return PhoneDone(revision=done.revision)

    return router
