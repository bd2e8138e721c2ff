"""What a benchmark found, and the clock that they share."""

from __future__ import annotations

import os
import platform
import statistics
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, field

__all__ = ["Measurement", "interleaved_medians", "machine"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement:
    """One ratio with the floor it was held against.

    Parameters
    ----------
    name : str
        What was measured.
    ratio : float
        Ours over the floor, both in this run.
    limit : float, optional
        Ratio that must not be exceeded; None where nothing is promised.
    seconds : mapping of str to float
        Medians behind the ratio, by what was run [s].
    details : mapping of str to float
        Further figures, such as sizes, exponents or memory peaks.
    """

    name: str
    ratio: float
    limit: float | None = None
    seconds: Mapping[str, float] = field(default_factory=dict)
    details: Mapping[str, float] = field(default_factory=dict)

    def holds(self) -> bool:
        """Whether the promise is kept."""
        return self.limit is None or self.ratio <= self.limit

    def as_json(self) -> dict[str, object]:
        """The fields as plain data, with the verdict."""
        return {**asdict(self), "holds": self.holds()}


def interleaved_medians(works: Mapping[str, Callable[[], object]], *, rounds: int = 15) -> dict[str, float]:
    """Median time of each piece of work, all taken in turn so that a busy moment meets them alike.

    Parameters
    ----------
    works : mapping of str to callable
        What to run, by name.
    rounds : int
        How often each is run, after one run that does not count.

    Returns
    -------
    dict of str to float
        Median wall-clock time [s].
    """
    times: dict[str, list[float]] = {name: [] for name in works}
    for work in works.values():
        work()
    for _ in range(rounds):
        for name, work in works.items():
            start = time.perf_counter()
            work()
            times[name].append(time.perf_counter() - start)
    return {name: statistics.median(taken) for name, taken in times.items()}


def machine() -> dict[str, object]:
    """What the figures were measured on."""
    return {
        "python": platform.python_version(),
        "system": f"{platform.system()} {platform.machine()}",
        "processors": os.cpu_count(),
    }
