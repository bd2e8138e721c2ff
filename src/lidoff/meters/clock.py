"""The clock of this machine, for what is recorded as it happens."""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import UTC, datetime

__all__ = ["WallClock"]


class WallClock:
    """Time as it goes by.

    Parameters
    ----------
    pause : callable (float) → object
        Lets so many seconds go by; may come back sooner, such as when the person has had enough.
    """

    def __init__(self, pause: Callable[[float], object] = time.sleep) -> None:
        self._pause = pause

    def now(self) -> datetime:
        """Date and time of day in UTC."""
        return datetime.now(UTC)

    def elapsed(self) -> float:
        """Seconds on a clock that is never set."""
        return time.monotonic()

    def wait(self, seconds: float) -> None:
        """Let time go by."""
        self._pause(seconds)
