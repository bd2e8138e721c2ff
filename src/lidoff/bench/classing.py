"""Classes of what a page has in view, worked out beside the server; a page's newer question ends its older ones."""

from __future__ import annotations

import base64
import multiprocessing
import threading
from collections import OrderedDict
from concurrent.futures import CancelledError, Future
from concurrent.futures.process import BrokenProcessPool
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from pydantic import Field, FiniteFloat

from lidoff.bench import class_worker
from lidoff.bench.beside import Beside
from lidoff.bench.models import Closed, Id, Name
from lidoff.errors import EditRefused

if TYPE_CHECKING:
    from lidoff.bench.class_worker import Classed
    from lidoff.board import Stroke
    from lidoff.dossier.side_in_hand import SideInHand

__all__ = ["ClassShare", "ClassesAsked", "ClassesTold", "Classing", "StrokeDrawn"]

PLACES = 64
"""Pages that may ask at one time without ending each other's questions."""
IDLE = 600.0
"""Time after the last question [s] from which on the memory is given back."""
_KEPT = 12

Spot = tuple[FiniteFloat, FiniteFloat]
Window = tuple[FiniteFloat, FiniteFloat, FiniteFloat, FiniteFloat]


class StrokeDrawn(Closed):
    """A stroke that the dossier does not hold yet: one that is still drawn, or on its way."""

    says: Name
    points_mm: Annotated[list[Spot], Field(min_length=1, max_length=20_000)]
    width_mm: Annotated[float, Field(gt=0.0, le=100.0)]


class ClassesAsked(Closed):
    """What a page has in view (left, top, right, lower edge), and strokes beyond those of the dossier."""

    page: Id
    window_mm: Window
    strokes: Annotated[list[StrokeDrawn], Field(max_length=500, default_factory=list)]


class ClassShare(Closed):
    """One class, and the share of the view that it takes, 0…1."""

    says: str
    share: float


class ClassesTold(Closed):
    """Classes of a view. `picture` is a grey PNG, Base64: the value of a pixel is the place of its class in `classes`."""

    strokes: int
    corner_mm: tuple[float, float]
    px_per_mm: float
    width: int
    height: int
    picture: str
    classes: list[ClassShare]


class Classing:
    """The process that classes views, and whose question is the newest.

    Parameters
    ----------
    folder : Path
        Of the dossier.
    idle : float
        See `IDLE`.
    """

    def __init__(self, folder: Path, idle: float = IDLE) -> None:
        self._folder = folder
        self._idle = idle
        self._newest = multiprocessing.get_context("spawn").RawArray("q", PLACES)
        self._beside = Beside(class_worker.begin, (self._newest,))
        self._guard = threading.Lock()
        self._questions = 0
        self._open = 0
        self._places: OrderedDict[str, int] = OrderedDict()
        self._asked: dict[str, Future[object]] = {}
        self._told: OrderedDict[object, Classed] = OrderedDict()
        self._rest: threading.Timer | None = None

    def classes(
        self,
        hand: SideInHand,
        strokes: tuple[Stroke, ...],
        window: tuple[float, float, float, float],
        page: str,
    ) -> ClassesTold:
        """Classes of a view; waits for them.

        Parameters
        ----------
        hand : SideInHand
            The side.
        strokes : tuple of Stroke
            All strokes on it, in order.
        window : tuple of float
            Left, top, right and lower edge of the view [mm].
        page : str
            Who asks.

        Returns
        -------
        ClassesTold
            With every stroke obeyed.

        Raises
        ------
        EditRefused
            The page has asked a newer question meanwhile: code ``superseded``.
        DossierError, PhotoRefused, ImpossibleValue
            As for `lidoff.bench.class_worker.classed`.
        """
        key = (hand.mark(self._folder), hand.parts, strokes, window)
        with self._guard:
            self._open += 1
            if self._rest is not None:
                self._rest.cancel()
            self._questions += 1
            question, place = self._questions, self._place(page)
            self._newest[place] = question
            before = self._asked.pop(page, None)
            found = self._told.get(key)
        if before is not None:
            before.cancel()
        try:
            if found is None:
                found = self._answer(hand, strokes, window, page, place, question)
        finally:
            self._wait_to_rest()
        with self._guard:
            self._told[key] = found
            while len(self._told) > _KEPT:
                self._told.popitem(last=False)
        return _told(found, len(strokes))

    def is_asked(self) -> bool:
        """Whether a page waits for classes."""
        return self._open > 0

    def close(self) -> None:
        """End the process."""
        with self._guard:
            if self._rest is not None:
                self._rest.cancel()
        self._beside.close()

    def _answer(
        self,
        hand: SideInHand,
        strokes: tuple[Stroke, ...],
        window: tuple[float, float, float, float],
        page: str,
        place: int,
        question: int,
    ) -> Classed:
        """Answer of the process beside; asked once more of a new one where the first ended."""
        for tries_left in (1, 0):
            try:
                future = self._beside.ask(
                    class_worker.classed, hand, strokes, window, self._folder, place, question
                )
                with self._guard:
                    if self._newest[place] == question:
                        self._asked[page] = future
                found = future.result()
                break
            except CancelledError:
                found = None
                break
            except BrokenProcessPool:
                self._beside.forget()
                if not tries_left:
                    raise
        with self._guard:
            if self._asked.get(page) is future:
                del self._asked[page]
        if found is None:
            raise EditRefused(
                "the page has asked for other classes since", code="superseded", remedy="wait for those"
            )
        assert isinstance(found, class_worker.Classed)
        return found

    def _place(self, page: str) -> int:
        """Place of a page's newest number; that of the page that asked longest ago where there are too many."""
        if page not in self._places:
            taken = len(self._places)
            self._places[page] = taken if taken < PLACES else self._places.popitem(last=False)[1]
        self._places.move_to_end(page)
        return self._places[page]

    def _wait_to_rest(self) -> None:
        """Give the memory back some time after the last answer."""
        with self._guard:
            self._open -= 1
            if self._open:
                return
            self._rest = threading.Timer(self._idle, self._beside.rest)
            self._rest.daemon = True
            self._rest.start()


def _told(found: Classed, strokes: int) -> ClassesTold:
    from lidoff.board import CLASSES

    every = max(sum(found.counts), 1)
    return ClassesTold(
        strokes=strokes,
        corner_mm=found.corner,
        px_per_mm=found.px_per_mm,
        width=found.width,
        height=found.height,
        picture=base64.b64encode(found.picture).decode("ascii"),
        classes=[
            ClassShare(says=says, share=count / every)
            for says, count in zip(CLASSES, found.counts, strict=True)
        ],
    )
