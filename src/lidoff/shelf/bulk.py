"""One step over many folders: on local processes, or over a Dask scheduler where one machine is outgrown."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import partial
from itertools import chain, islice
from typing import Generic, TypeVar

from lidoff.errors import LidoffError

__all__ = ["Done", "each"]

Result = TypeVar("Result")
AHEAD = 4
"""Tasks handed out for each process: the next one is there when it is done, and no more lie in memory."""
TASKS_A_PROCESS = 200
"""After so many for each, the processes are replaced, so that none grows without end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Done(Generic[Result]):
    """One task that was done, or why it was not.

    Attributes
    ----------
    about : str
        What it was about.
    result : object or None
        What it gave.
    problem : str
        Why it gave nothing, in words; empty where it did.
    """

    about: str
    result: Result | None = None
    problem: str = ""


def each(
    work: Callable[[str], Result],
    about: Iterable[str],
    *,
    processes: int = 1,
    scheduler: str = "",
    memory: int | None = None,
) -> Iterator[Done[Result]]:
    """Do the same for many things; one that fails does not stop the others.

    Parameters
    ----------
    work : callable (str) -> object
        A function of a module, so that other processes find it; what it returns can be pickled.
    about : iterable of str
        What to do it for.
    processes : int
        Local processes; with one, all is done in this one.
    scheduler : str
        Address of a Dask scheduler, such as ``tcp://10.0.0.5:8786``; empty for local processes.
    memory : int, optional
        Most that each of several local processes may take for its data [bytes]; its share of the machine's if left out. What
        needs more fails by itself. Dask bounds its own workers.

    Yields
    ------
    Done
        As they are done, in no order. Closing the iterator calls off what has not begun.

    Raises
    ------
    DossierError
        The scheduler cannot be reached or is gone, it has no worker for a while, or Dask is not installed.
    """
    if scheduler:
        from lidoff.shelf.over_dask import results_of_cluster

        for one, trouble, done in results_of_cluster(partial(attempt, work), about, scheduler, AHEAD):
            yield Done(about=one, problem=trouble) if done is None else done
    elif processes <= 1:
        for one in about:
            yield attempt(work, one)
    else:
        yield from _on_processes(work, about, processes, memory)


def attempt(work: Callable[[str], Result], about: str) -> Done[Result]:
    """Result of one task, or its trouble in words."""
    try:
        return Done(about=about, result=work(about))
    except LidoffError as error:
        return Done(about=about, problem=str(error))
    except MemoryError:
        return Done(about=about, problem="it takes more memory than one process is granted")
    except Exception as error:  # one broken dossier must not stop ten thousand
        return Done(about=about, problem=f"lidoff itself failed ({type(error).__name__}: {error})")


def _on_processes(
    work: Callable[[str], Result], about: Iterable[str], processes: int, memory: int | None
) -> Iterator[Done[Result]]:
    """Do all on local processes, by one set of them after another.

    The executor's own way to replace single processes can wait for ever in Python 3.11, so whole sets are replaced. A process
    that dies takes its set along: what had been handed out is then done one by one, which tells what the trouble is with.
    """
    from lidoff.shelf import worker

    granted = worker.share_of_memory(processes) if memory is None else memory
    rest = iter(about)
    for first in rest:
        some = chain((first,), islice(rest, TASKS_A_PROCESS * processes - 1))
        for one in (yield from _by_one_set(work, some, processes, granted)):
            if (yield from _by_one_set(work, iter((one,)), 1, granted)):
                yield Done(
                    about=one, problem="its process ended: it crashed, or took more memory than there was"
                )


def _by_one_set(
    work: Callable[[str], Result], some: Iterator[str], processes: int, memory: int
) -> Generator[Done[Result], None, list[str]]:
    """Results of some tasks; gives those that were lost when a process died, the rest of which are not taken from `some`."""
    from lidoff.shelf import worker

    pool = ProcessPoolExecutor(
        max_workers=processes, mp_context=worker.context(), initializer=worker.begin, initargs=(memory,)
    )
    running: dict[Future[Done[Result]], str] = {}
    lost: list[str] = []

    def hand_out(count: int) -> None:
        for one in islice(some, count):
            try:
                running[pool.submit(attempt, work, one)] = one
            except BrokenProcessPool:
                lost.append(one)
                return

    try:
        hand_out(AHEAD * processes)
        while running:
            ready, _ = wait(running, return_when=FIRST_COMPLETED)
            for future in ready:
                one = running.pop(future)
                trouble = future.exception()
                if isinstance(trouble, BrokenProcessPool):
                    lost.append(one)
                elif trouble is not None:
                    yield Done(about=one, problem=f"its result cannot be handed over ({trouble})")
                else:
                    yield future.result()
            if not lost:
                hand_out(len(ready))
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
    return lost
