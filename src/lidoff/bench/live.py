"""Analyses of the newest state, worked out beside the requests.

Two stages: a quick one in a thread of the server (circuit, nets, operating points), and the full one in a process of its own,
which is told to stop as soon as the state that it works on is no longer the newest.
"""

from __future__ import annotations

import logging
import multiprocessing
import threading
import time
from collections.abc import Callable, Sequence
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from lidoff.bench import analyst
from lidoff.bench.beside import Beside
from lidoff.bench.events import Events
from lidoff.dossier.documents import Documents
from lidoff.errors import LidoffError

if TYPE_CHECKING:
    from lidoff.bench.quick import Quick, View

__all__ = ["Full", "Live"]

T = TypeVar("T", "Quick", "Full")

_PAUSE = 0.12
"""How long the full stage waits for a further edit [s]: a person who types does not set it off with each letter."""
_LONGEST_HOLD = 1.0
"""How long it lets the classes of a stroke go first [s]: a hand waits for those."""
_AHEAD = 2
"""Most drawings that are made of each state before a page asks for them."""
_log = logging.getLogger("lidoff.bench")


@dataclass(frozen=True, slots=True, kw_only=True)
class Full:
    """A full analysis as plain data, or the error that stands in its way."""

    revision: int
    generation: int
    analysis: dict[str, object] | None
    problem: LidoffError | None


@dataclass(frozen=True, slots=True, kw_only=True)
class _Work:
    """A state for the quick stage, and what of it is to be drawn at once; one that is about to come has no number yet."""

    texts: Documents
    revision: int
    generation: int
    views: tuple[View, ...]


@dataclass(frozen=True, slots=True)
class _Ready:
    """A state's quick stage, with the time [s] that it took."""

    texts: Documents
    quick: Quick
    took: float


class Live:
    """The newest state's analyses.

    Parameters
    ----------
    folder : Path
        Of the dossier, for its logs.
    events : Events
        Told of each stage that is done.
    """

    def __init__(self, folder: Path, events: Events) -> None:
        self._folder = folder
        self._events = events
        self._changed = threading.Condition()
        self._texts: Documents | None = None
        self._revision = -1
        self._generation = 0
        self._closing = False
        self._coming: _Work | None = None
        self._ready: _Ready | None = None
        self._quick: Quick | None = None
        self._full: Full | None = None
        self._newest = multiprocessing.get_context("spawn").RawValue("q", 0)
        self._beside = Beside(analyst.begin, (self._newest,))
        self._threads: list[threading.Thread] = []
        self.goes_first: Callable[[], bool] = _nothing_does
        """Whether something that a hand waits for is worked on, which the full stage is not to hold up."""
        self.on_warm: Callable[[], None] | None = None
        """Called once, when the first state was gone through: all that is needed is loaded by then."""

    def start(self) -> None:
        """Start the threads; the process starts with the first work."""
        for target in (self._work_quick, self._work_full):
            thread = threading.Thread(target=target, name=target.__name__, daemon=True)
            thread.start()
            self._threads.append(thread)

    def close(self) -> None:
        """Stop, without waiting for work under way."""
        with self._changed:
            self._closing = True
            self._newest.value = -1
            self._changed.notify_all()
        self._beside.close()

    def submit(self, revision: int, documents: Documents) -> None:
        """Take a new state; what is worked out of an older one is stale from now on.

        Parameters
        ----------
        revision : int
            Of the state.
        documents : mapping of str to str
            Its texts.
        """
        with self._changed:
            self._texts, self._revision = documents, revision
            self._generation += 1
            self._newest.value = self._generation
            self._changed.notify_all()
        self._settle()

    def foresee(self, documents: Documents, views: Sequence[View] = ()) -> None:
        """Begin with a state that is about to be kept, while it goes to the disk; nobody is told before `submit`.

        Parameters
        ----------
        documents : mapping of str to str
            Its texts.
        views : sequence of View
            What will be asked of it first.
        """
        with self._changed:
            self._coming = _Work(texts=documents, revision=-1, generation=0, views=tuple(views))
            self._changed.notify_all()

    def quick(self, wait: float = 0.0) -> Quick | None:
        """Newest quick stage; waits at most so long [s] for that of the present state."""
        return self._awaited(wait, lambda: self._quick)

    def full(self, wait: float = 0.0) -> Full | None:
        """Newest full stage; waits at most so long [s] for that of the present state."""
        return self._awaited(wait, lambda: self._full)

    def shown(self, view: View, wait: float) -> tuple[Quick | None, str | None]:
        """Quick stage of the present state with its drawing, as far as they are there within some time.

        Parameters
        ----------
        view : View
            What is to be drawn, as told to `foresee`.
        wait : float
            Longest wait [s].

        Returns
        -------
        tuple of Quick or None, str or None
            The quick stage and its SVG.
        """
        until = time.monotonic() + wait
        quick = self.quick(wait)
        if quick is None or quick.generation != self._generation:
            return None, None
        with self._changed:
            self._changed.wait_for(lambda: view in quick.texts, max(0.0, until - time.monotonic()))
        quick.asked[view] = None
        return quick, quick.texts.get(view)

    @property
    def revision(self) -> int:
        """Revision of the newest state."""
        return self._revision

    def _awaited(self, wait: float, get: Callable[[], T | None]) -> T | None:
        until = time.monotonic() + wait
        with self._changed:
            while not self._closing and self._texts is not None:
                found = get()
                left = until - time.monotonic()
                if left <= 0 or (found is not None and found.generation == self._generation):
                    break
                self._changed.wait(left)
            return get()

    # ---- the two threads

    def _next(self, last: int) -> tuple[int, int, Documents] | None:
        with self._changed:
            while not self._closing and (self._texts is None or self._generation == last):
                self._changed.wait()
            if self._closing or self._texts is None:
                return None
            return self._generation, self._revision, self._texts

    def _is_stale(self, generation: int) -> bool:
        return self._closing or self._generation != generation

    def _next_quick(self, last: int) -> _Work | None:
        """The state that is about to come before any other, else the newest that was not worked on."""
        with self._changed:
            while not self._closing and self._coming is None and self._generation == last:
                self._changed.wait()
            if self._closing:
                return None
            asked = tuple(self._quick.asked)[-_AHEAD:] if self._quick is not None else ()
            coming, self._coming = self._coming, None
            if coming is not None:
                return replace(coming, views=tuple(dict.fromkeys((*coming.views, *asked))))
            assert self._texts is not None
            return _Work(texts=self._texts, revision=self._revision, generation=self._generation, views=asked)

    def _work_quick(self) -> None:
        last = 0
        while (work := self._next_quick(last)) is not None:
            last = max(last, work.generation)
            try:
                self._solve_and_draw(work)
            except Exception:
                _log.exception("the quick stage failed")

    def _solve_and_draw(self, work: _Work) -> None:
        from lidoff.bench.quick import quick_of, svg_of

        ready = self._ready
        if ready is None or ready.texts != work.texts:
            begun = time.perf_counter()
            quick = quick_of(work.texts, generation=0, revision=-1, before=self._quick)
            ready = _Ready(work.texts, quick, time.perf_counter() - begun)
        with self._changed:
            self._ready = ready
        self._settle(work)
        if ready.quick.circuit is None or not ready.quick.circuit.parts:
            return
        for view in work.views:
            with self._changed:
                stale = self._coming is not None or (work.generation and self._is_stale(work.generation))
            if stale:
                return
            with suppress(LidoffError):  # told to whoever asks for it
                svg_of(ready.quick, view)
            with self._changed:
                self._changed.notify_all()

    def _settle(self, work: _Work | None = None) -> None:
        """Tell the quick stage that is ready: of the newest state, or of the one that was worked on if that has a number."""
        with self._changed:
            ready = self._ready
            if ready is None:
                return
            revision, generation = self._revision, self._generation
            if ready.texts != self._texts:
                if work is None or not work.generation:
                    return  # not kept yet
                revision, generation = work.revision, work.generation
            if self._quick is not None and self._quick.generation >= generation:
                return
            quick = replace(ready.quick, revision=revision, generation=generation)
            self._tell("quick", generation, revision, ready.took, quick)

    def _work_full(self) -> None:
        last = 0
        while (found := self._next(last)) is not None:
            last, revision, texts = found
            with self._changed:
                if self._changed.wait_for(partial(self._is_stale, last), _PAUSE):
                    continue
            until = time.monotonic() + _LONGEST_HOLD
            while self.goes_first() and time.monotonic() < until and not self._is_stale(last):
                time.sleep(0.02)
            begun = time.perf_counter()
            self._events.tell("working", task="analysis", text="analysing", share=0.0)
            try:
                answer = self._analysed(texts, last)
            except Exception:
                if not self._closing:
                    _log.exception("the full stage failed")
                continue
            if answer is None:
                continue  # stale
            problem = answer if isinstance(answer, LidoffError) else None
            analysis = answer if isinstance(answer, dict) else None
            result = Full(revision=revision, generation=last, analysis=analysis, problem=problem)
            self._tell("full", last, revision, time.perf_counter() - begun, result)

    def _analysed(self, texts: Documents, generation: int) -> object:
        """Answer of the process beside; asked once more of a new one where the first ended, be it at its own start."""
        for tries_left in (1, 0):
            try:
                return self._beside.ask(analyst.full_analysis, dict(texts), self._folder, generation).result()
            except BrokenProcessPool:
                self._beside.forget()
                if not tries_left or self._closing:
                    raise
                _log.warning("the process of the analysis ended; it is started anew")
        raise AssertionError("both tries return or raise")

    def _tell(self, stage: str, generation: int, revision: int, took: float, result: Quick | Full) -> None:
        with self._changed:
            if isinstance(result, Full):
                self._full = result
            else:
                self._quick = result
            self._changed.notify_all()
        if stage == "full" and self.on_warm is not None:
            warm, self.on_warm = self.on_warm, None
            warm()
        self._events.tell(
            "analysis",
            generation=generation,
            revision=revision,
            stage=stage,
            milliseconds=round(took * 1e3),
        )


def _nothing_does() -> bool:
    """Nothing goes first."""
    return False
