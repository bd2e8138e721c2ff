"""A process that works through a shelf: loaded once, one thread, bounded memory, gone when nobody waits for it.

Loading this module loads what an analysis needs, so that processes forked from one that has it begin at once and share its
memory.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import sys
import threading
from importlib import import_module
from multiprocessing.connection import wait

import cv2
from threadpoolctl import threadpool_limits

__all__ = ["LEAST_MEMORY", "begin", "context", "share_of_memory", "use_one_thread"]

# What an analysis and a report use; elsewhere most of it waits until it is needed.
for _name in (
    "lidoff.report",
    "networkx",
    "scipy.linalg.lapack",
    "scipy.ndimage",
    "scipy.optimize",
    "scipy.sparse.linalg",
    "scipy.spatial",
):
    import_module(_name)

LEAST_MEMORY = 1_000_000_000
"""Least memory that a process is granted [bytes]: analysis and report of a demo with its traced board take 0.8 of it."""
_GRANTED = 0.8  # of the machine's memory; the rest is the system's and the index's


def context() -> multiprocessing.context.BaseContext:
    """How processes are made: forked from one that has all loaded and no threads, where the system can.

    Returns
    -------
    multiprocessing context
        Never a fork of this very process, whose threads would be missing in it.
    """
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    made = multiprocessing.get_context("forkserver")
    made.set_forkserver_preload([__name__])
    return made


def share_of_memory(processes: int) -> int:
    """Memory that each of some processes is granted.

    Parameters
    ----------
    processes : int
        That work at once.

    Returns
    -------
    int
        In bytes; zero where the system does not tell how much it has.
    """
    try:
        whole = os.sysconf("SC_PHYS_PAGES") * os.sysconf("SC_PAGE_SIZE")
    except (AttributeError, ValueError, OSError):
        return 0
    return max(int(_GRANTED * whole / processes), LEAST_MEMORY)


def begin(memory: int) -> None:
    """Make this process one of many that work at once.

    Parameters
    ----------
    memory : int
        What it may take for its data [bytes]; zero for no bound. What needs more fails, and nothing else with it.
    """
    use_one_thread()
    signal.signal(signal.SIGINT, signal.SIG_DFL)  # Ctrl-C ends it at once and without a word
    _bound_memory(memory)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), name="parent", daemon=True).start()


def use_one_thread() -> None:
    """Leave no threads to the linear algebra and to pictures: as many processes as processors have none to spare."""
    threadpool_limits(1)
    cv2.setNumThreads(1)


def _bound_memory(memory: int) -> None:
    if memory and sys.platform == "linux":
        import resource

        resource.setrlimit(resource.RLIMIT_DATA, (memory, memory))


def _end_with(sentinel: int) -> None:
    """End this process when the one that made it has ended, even by force: nobody would fetch what it finds."""
    wait([sentinel])
    os._exit(1)
