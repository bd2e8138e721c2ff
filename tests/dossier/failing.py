"""A disk or share that fails at a chosen call: every way by which the package reaches files goes through here."""

from __future__ import annotations

import io
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

import pytest

CALLS = (
    "open", "stat", "lstat", "fsync", "replace", "rename", "unlink", "ftruncate", "write", "pread", "read", "scandir",
    "listdir", "mkdir", "chmod", "fstat", "readlink",
)  # fmt: skip
"""Functions of `os` that reach the disk; `io.open` and what is done to its streams are counted beside them."""


class Share:
    """Counts the calls that reach the disk, and lets some of them fail or take long.

    Parameters
    ----------
    at : int
        Number of the first call that fails, from 1; 0 for none.
    error : int
        What the system says then.
    lasting : bool
        Whether all calls after it fail too.
    delay : float
        How long each call takes beside its own time [s].
    """

    def __init__(self, *, at: int = 0, error: int = 0, lasting: bool = False, delay: float = 0.0) -> None:
        self.at, self.error, self.lasting, self.delay = at, error, lasting, delay
        self.calls = 0
        self.failed = ""
        self.armed = True

    def call(self, name: str) -> None:
        """Count a call; it may fail."""
        if not self.armed:
            return
        self.calls += 1
        if self.delay:
            time.sleep(self.delay)
        if self.at and (self.calls == self.at or (self.lasting and self.calls > self.at)):
            self.failed = self.failed or name
            raise OSError(self.error, os.strerror(self.error))


class Stream:
    """A file of such a share; closing it is never refused, since then nobody could go on."""

    def __init__(self, stream: Any, share: Share) -> None:
        self._stream, self._share = stream, share

    def __getattr__(self, name: str) -> Any:
        found = getattr(self._stream, name)
        if name not in ("write", "flush", "read", "readline", "truncate"):
            return found

        def counted(*given: Any, **more: Any) -> Any:
            self._share.call(name)
            return found(*given, **more)

        return counted

    def __enter__(self) -> Stream:
        return self

    def __exit__(self, *_: object) -> None:
        self._stream.close()

    def __iter__(self) -> Iterator[Any]:
        return iter(self._stream)


@contextmanager
def failing(share: Share) -> Iterator[Share]:
    """Let all reach the disk through a share while the block runs."""

    def counted(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*given: Any, **more: Any) -> Any:
            share.call(name)
            return real(*given, **more)

        return call

    real_open = io.open

    def opened(*given: Any, **more: Any) -> Stream:
        share.call("io.open")
        return Stream(real_open(*given, **more), share)

    with pytest.MonkeyPatch.context() as patch:
        for name in CALLS:
            patch.setattr(os, name, counted(name, getattr(os, name)))
        patch.setattr(io, "open", opened)
        yield share


def every_call(run: Callable[[Share], object], **how: Any) -> Iterator[Share]:
    """Runs of the same, of which the first fails at its first call, the next at its second, until none is left to fail.

    Yields
    ------
    Share
        After each run, with what failed in it.
    """
    at = 1
    while True:
        share = Share(at=at, **how)
        run(share)
        if not share.failed:
            break
        yield share
        at += 1
