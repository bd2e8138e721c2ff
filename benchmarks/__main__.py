"""``python -m benchmarks [NAME ...]``: run the benchmarks and print their results as JSON.

Every module of this folder and of its folders that offers ``measure`` is one; a name chooses those that contain it.
Exits with 1 when a promised ratio is exceeded.
"""

from __future__ import annotations

import importlib
import json
import pkgutil
import sys
from collections.abc import Iterator
from types import ModuleType

import benchmarks
from benchmarks.measurement import Measurement, machine


def modules(wanted: list[str]) -> Iterator[ModuleType]:
    """Yield the benchmarks in order of their names."""
    for info in pkgutil.walk_packages(benchmarks.__path__, "benchmarks."):
        if info.name == "benchmarks.__main__" or (wanted and not any(word in info.name for word in wanted)):
            continue
        module = importlib.import_module(info.name)
        if hasattr(module, "measure"):
            yield module


def main(wanted: list[str]) -> int:
    """Print one JSON document of all results; progress goes to standard error."""
    results: list[Measurement] = []
    for module in modules(wanted):
        print(module.__name__, file=sys.stderr)
        found = module.measure()
        results.extend(found if isinstance(found, (list, tuple)) else [found])
    if not results:
        print(f"no benchmark is named {' or '.join(wanted) or 'at all'}", file=sys.stderr)
        return 2
    print(json.dumps({"machine": machine(), "results": [one.as_json() for one in results]}, indent=2))
    return 0 if all(one.holds() for one in results) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
