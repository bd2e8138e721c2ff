"""A process beside the server for questions that take a while, answered one after the other."""

from __future__ import annotations

import importlib
import multiprocessing
import os
import signal
import sys
import threading
import warnings
from collections.abc import Callable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool

__all__ = ["Beside", "let_imports_end", "serve_the_server"]


def let_imports_end() -> None:
    """Wait until no import is under way that has folders of its own on the path: a new process would inherit them.

    One library's folder holds a ``typing`` of its own, which that process would take for Python's.
    """
    if "cv2" in sys.modules:
        importlib.import_module("cv2")


def serve_the_server() -> None:
    """Settle a process beside the server: it ends as soon as the server does, however that ends, and not before.

    Else it would wait for ever for a next question.
    """

    def wait() -> None:
        parent = multiprocessing.parent_process()
        if parent is not None:
            parent.join()
            os._exit(1)

    # Ctrl-C goes to the whole group of processes; the server alone decides when this one ends.
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=wait, name="wait for the server's end", daemon=True).start()
    # One process is what a question is to take: a library that would rather have several says so each time.
    warnings.filterwarnings("ignore", message="Loky-backed parallel loops")


def _begin(begin: Callable[..., None] | None, arguments: tuple[object, ...]) -> None:
    serve_the_server()
    if begin is not None:
        begin(*arguments)


class Beside:
    """One process that is started with the first question, and anew when it ended.

    Parameters
    ----------
    begin : callable, optional
        Called in it before its first question.
    arguments : tuple
        For `begin`.
    """

    def __init__(self, begin: Callable[..., None] | None = None, arguments: tuple[object, ...] = ()) -> None:
        self._begin = begin
        self._arguments = arguments
        self._guard = threading.Lock()
        self._pool: ProcessPoolExecutor | None = None
        self._closed = False

    def ask(self, function: Callable[..., object], *arguments: object) -> Future[object]:
        """Ask the process.

        Parameters
        ----------
        function : callable
            Of a module, so that it can be named there.
        *arguments : object
            Plain data.

        Returns
        -------
        Future
            Of its answer.
        """
        for _ in range(2):
            with self._guard:
                if self._closed:
                    break
                if self._pool is None:
                    self._pool = ProcessPoolExecutor(
                        1,
                        mp_context=multiprocessing.get_context("spawn"),
                        initializer=_begin,
                        initargs=(self._begin, self._arguments),
                    )
                pool = self._pool
            let_imports_end()
            try:
                return pool.submit(function, *arguments)
            except BrokenProcessPool:
                self.forget(pool)
        raise BrokenProcessPool("the process beside the server cannot be started, or the server ends")

    def forget(self, pool: ProcessPoolExecutor | None = None) -> None:
        """Start a new process with the next question, since this one ended."""
        with self._guard:
            if pool is None or self._pool is pool:
                self._pool = None

    def close(self) -> None:
        """End the process, whatever it does."""
        with self._guard:
            self._closed = True
        self.rest()

    def rest(self) -> None:
        """End the process; the next question starts another."""
        with self._guard:
            pool, self._pool = self._pool, None
        if pool is None:
            return
        processes = list((pool._processes or {}).values())
        pool.shutdown(wait=False, cancel_futures=True)
        for process in processes:
            process.terminate()
