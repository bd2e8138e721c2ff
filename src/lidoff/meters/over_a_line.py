"""A record made in a process of its own, which tells what happens over a line and stops when anything comes back over it."""

from __future__ import annotations

from contextlib import suppress
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path

from lidoff.errors import LidoffError, MeterLost
from lidoff.meters.clock import WallClock
from lidoff.meters.recording import Plan, Told, record
from lidoff.meters.visa import open_meter

__all__ = ["record_over"]


def record_over(line: Connection, plan: Plan, file: Path, backend: str) -> None:
    """Record until the plan or the other end of the line ends it; the other end's own end counts too.

    Parameters
    ----------
    line : Connection
        Takes ``("row", (seconds, cells))`` and ``("word", (seconds, word))``, then ``("ended", why)`` or ``("error", error)``.
    plan : Plan
        What, how often and how long.
    file : Path
        Must not be there yet.
    backend : str
        What PyVISA speaks through.
    """
    import signal

    # Ctrl-C goes to the whole group of processes; the other end alone decides when this one ends.
    signal.signal(signal.SIGINT, signal.SIG_IGN)

    def stopped() -> bool:
        return line.poll(0.0)  # true as well where nobody holds the other end any more

    def tell(told: Told) -> None:
        with suppress(OSError):
            line.send(
                ("word", (told.seconds, told.word))
                if told.word
                else ("row", (told.seconds, dict(told.cells)))
            )

    try:
        opener = partial(open_meter, backend=backend)
        done = record(plan, file, opener, WallClock(line.poll), listener=tell, stopped=stopped)
        last: tuple[str, object] = ("ended", done.why)
    except LidoffError as error:
        last = ("error", error)
    except Exception as error:
        what = f"the record failed ({type(error).__name__}: {error})"
        last = ("error", MeterLost(what, remedy="please report it"))
    with suppress(OSError):
        line.send(last)
