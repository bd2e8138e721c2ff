"""What changed, told to every page that listens; a page that was away gets what it missed, or is told to look afresh."""

from __future__ import annotations

import asyncio
import json
import threading
from collections import deque
from collections.abc import AsyncIterator
from dataclasses import dataclass

__all__ = ["Event", "Events"]

_KEPT = 500
_WAITING = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """One thing that happened: its running number, its sort, and what there is to tell, as JSON."""

    number: int
    sort: str
    data: str

    @property
    def lines(self) -> str:
        """As it goes over the wire."""
        return f"id: {self.number}\nevent: {self.sort}\ndata: {self.data}\n\n"


class Events:
    """All that happened lately, and who listens."""

    def __init__(self) -> None:
        self._guard = threading.Lock()
        self._number = 0
        self._kept: deque[Event] = deque(maxlen=_KEPT)
        self._listeners: dict[asyncio.Queue[Event | None], asyncio.AbstractEventLoop] = {}

    def tell(self, sort: str, **data: object) -> None:
        """Tell all pages; may be called from any thread.

        Parameters
        ----------
        sort : str
            Sort of the event.
        **data : object
            Plain data.
        """
        with self._guard:
            self._number += 1
            event = Event(
                number=self._number, sort=sort, data=json.dumps(data, ensure_ascii=False, default=str)
            )
            self._kept.append(event)
            listeners = list(self._listeners.items())
        for queue, loop in listeners:
            _put(queue, loop, event)

    def close(self) -> None:
        """End every listening."""
        with self._guard:
            listeners = list(self._listeners.items())
        for queue, loop in listeners:
            _put(queue, loop, None)

    def missed(self, last: int) -> list[Event] | None:
        """Events after a number; None where some of them are no longer kept, or the number is of an earlier start."""
        with self._guard:
            first = self._kept[0].number if self._kept else self._number + 1
            if last > self._number or last < first - 1:
                return None
            return [event for event in self._kept if event.number > last]

    async def listen(self, last: int | None) -> AsyncIterator[str]:
        """Lines of every event from now on, with what was missed first.

        Parameters
        ----------
        last : int or None
            Number of the last event that the page has seen; None for a new page.

        Yields
        ------
        str
            Lines of the stream; a comment while nothing happens, so that both sides know the other is there.
        """
        queue: asyncio.Queue[Event | None] = asyncio.Queue(maxsize=_WAITING)
        with self._guard:
            self._listeners[queue] = asyncio.get_running_loop()
        try:
            yield "retry: 1000\n\n"
            if last is not None:
                missed = self.missed(last)
                if missed is None:
                    yield "event: resync\ndata: {}\n\n"
                else:
                    for event in missed:
                        yield event.lines
            while True:
                try:
                    waiting = await asyncio.wait_for(queue.get(), timeout=10.0)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if waiting is None:
                    yield "event: closing\ndata: {}\n\n"
                    return
                yield waiting.lines
        finally:
            with self._guard:
                self._listeners.pop(queue, None)


def _put(queue: asyncio.Queue[Event | None], loop: asyncio.AbstractEventLoop, event: Event | None) -> None:
    def put() -> None:
        # A page that does not read is cut off; on coming back it asks for what it missed.
        if queue.full():
            queue.get_nowait()
        queue.put_nowait(event)

    if not loop.is_closed():
        loop.call_soon_threadsafe(put)
