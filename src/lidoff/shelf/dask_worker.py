"""What makes a Dask worker fit for lidoff: ``dask worker ADDRESS --nthreads 1 --preload lidoff.shelf.dask_worker``.

Dask imports the module before the worker begins. All that an analysis needs is then loaded before the first task, and three
settings of Dask's own that cost an analysis a third more processor time are changed for this worker alone: it looks at the
stack a hundred times a second for its profile; it gives memory back to the system at every turn, so that each array is paged
in anew; and the thread of the tasks has a heap of its own.
"""

from __future__ import annotations

import ctypes
import sys

import dask

from lidoff.shelf.worker import use_one_thread

__all__ = ["dask_setup", "keep_memory"]

# Read by the worker after its preloads.
dask.config.set({"distributed.worker.profile.enabled": False})

# Numbers of the settings in glibc's malloc.h.
_TRIM_THRESHOLD = -1
_MMAP_THRESHOLD = -3
_ARENA_MAX = -8
_KEPT = 64 << 20
"""Free memory that is not given back [bytes]: twice the largest block from the heap, as glibc itself comes to in time."""


def dask_setup(_worker: object) -> None:
    """Settle the worker's process; Dask calls it when the worker starts."""
    use_one_thread()
    keep_memory()


def keep_memory() -> bool:
    """Let freed memory stay with this process for the next array, in one heap for all threads.

    Returns
    -------
    bool
        Whether the system's memory can be told so: glibc's can.
    """
    if sys.platform != "linux":
        return False
    system = ctypes.CDLL(None)
    if not hasattr(system, "mallopt"):
        return False
    settings = ((_TRIM_THRESHOLD, _KEPT), (_MMAP_THRESHOLD, _KEPT // 2), (_ARENA_MAX, 1))
    return all(system.mallopt(name, value) for name, value in settings)
