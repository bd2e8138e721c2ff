"""Tasks over a Dask scheduler: a few ahead for each worker, and an end with a word where no worker or no scheduler is left."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import CancelledError
from contextlib import suppress
from itertools import islice
from typing import TYPE_CHECKING, Any, TypeVar

from lidoff.errors import DossierError

if TYPE_CHECKING:
    from distributed import Client, Future

__all__ = ["results_of_cluster"]

Result = TypeVar("Result")
PATIENCE = 60.0
"""How long a cluster may be without any worker before the work is given up [s]: a machine may start again."""
LOOK = 5.0
"""How long nothing may be done before the workers are counted [s]."""
NAMED = 8
"""Most tasks that an error names."""


def results_of_cluster(
    work: Callable[[str], Result], about: Iterable[str], address: str, ahead: int
) -> Iterator[tuple[str, str, Result | None]]:
    """Do the same for many things on a cluster.

    Parameters
    ----------
    work : callable (str) -> object
        A function that the workers find; what it returns can be pickled.
    about : iterable of str
        What to do it for.
    address : str
        Of the scheduler.
    ahead : int
        Tasks handed out for each worker, so that the next one is there when it is done.

    Yields
    ------
    about : str
        What was done, in no order.
    problem : str
        Why it gave nothing, in words; empty where it did.
    result : object or None
        What it gave.

    Raises
    ------
    DossierError
        The scheduler cannot be reached or is gone, no worker is left, or Dask is not installed.
    """
    client = _client(address)
    try:
        ahead *= max(len(client.nthreads()), 1)
        lost: list[str] = []
        for one, trouble, result in _done(client, work, iter(about), ahead, address):
            if trouble is None:
                yield one, "", result
            else:
                lost.append(one)
        # A worker that dies takes what lay at it along, so each is tried by itself to tell what the trouble is with.
        for one in lost:
            for _, trouble, result in _done(client, work, iter((one,)), 1, address):
                yield one, "" if trouble is None else f"its worker failed ({trouble})", result
    finally:
        client.close()


def _client(address: str) -> Client:
    try:
        from distributed import Client
    except ImportError:
        raise DossierError(
            "Dask is not installed", where=address, remedy="install lidoff with its extra: lidoff[cluster]"
        ) from None
    try:
        return Client(address, timeout="10s", set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise DossierError(
            f"the scheduler cannot be reached ({error})",
            where=address,
            remedy="start one with `dask scheduler` and workers with `dask worker`, each with lidoff installed",
        ) from None


def _done(
    client: Client, work: Callable[[str], Result], some: Iterator[str], ahead: int, address: str
) -> Iterator[tuple[str, BaseException | None, Any]]:
    """Each of some tasks with what kept it from being done, or what it gave."""
    running: dict[Future, str] = {}

    def hand_out(count: int) -> None:
        for one in islice(some, count):
            running[client.submit(work, one, pure=False)] = one

    hand_out(ahead)
    while running:
        for future in _next_ready(client, running, address):
            try:
                trouble = None if future.status == "finished" else future.exception(timeout=PATIENCE)
                result = future.result(timeout=PATIENCE) if trouble is None else None
            except TimeoutError:
                continue  # its worker was lost before the result was fetched: it is done anew, and waited for again
            except CancelledError:
                raise _given_up("the scheduler is gone", running.values(), address) from None
            hand_out(1)
            yield running.pop(future), trouble, result
            future.release()


def _next_ready(client: Client, running: dict[Future, str], address: str) -> set[Future]:
    """Those that are done next; an error where there is nobody to do them."""
    from distributed import wait

    seen = time.monotonic()  # when there was a worker
    while True:
        with suppress(TimeoutError), client.as_current():
            try:
                return set(wait(list(running), timeout=LOOK, return_when="FIRST_COMPLETED").done)
            except CancelledError:
                raise _given_up("the scheduler is gone", running.values(), address) from None
        now = time.monotonic()
        if _has_workers(client):
            seen = now
        elif now - seen > PATIENCE:
            raise _given_up(f"no worker is left, for {PATIENCE:.0f} s", running.values(), address)


def _has_workers(client: Client) -> bool:
    try:
        return bool(client.nthreads())
    except OSError:  # the connection is being made anew, or what runs is called off presently
        return False


def _given_up(what: str, unfinished: Iterable[str], address: str) -> DossierError:
    names = list(unfinished)
    told = ", ".join(names[:NAMED]) + (f" and {len(names) - NAMED} more" if len(names) > NAMED else "")
    return DossierError(
        f"{what}; not done: {told}, and what had not been handed out",
        where=address,
        remedy="look whether the workers run and have memory enough (one of these may have ended them all), then give "
        "the command again: what was read is kept",
    )
