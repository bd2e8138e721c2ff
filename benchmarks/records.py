"""Results of long measurements, one line a case, so that an interruption loses none and a page is written from what is there.

A line counts only for the code that made it, told by a digest of the sources; ``--as-recorded`` takes every line as it is and
runs nothing more.
"""

from __future__ import annotations

import hashlib
import json
import sys
from collections.abc import Callable, Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

__all__ = ["as_recorded", "recorded"]

HOME = Path(__file__).parents[1]
FOLDER = HOME / "build" / "accuracy"
SOURCES = ("src/lidoff/insight", "src/lidoff/circuit", "tests/slipped")


@cache
def digest() -> str:
    """Of all sources that the results depend on."""
    found = hashlib.sha256()
    for folder in SOURCES:
        for file in sorted((HOME / folder).rglob("*.py")):
            found.update(file.read_bytes())
    return found.hexdigest()[:12]


def as_recorded() -> bool:
    """Whether only what is recorded is wanted."""
    return "--as-recorded" in sys.argv


def recorded(
    topic: str, keys: Iterable[str], work: Callable[[str], Mapping[str, Any]]
) -> list[Mapping[str, Any]]:
    """Results of some cases, those that are not recorded made now, each recorded at once.

    Parameters
    ----------
    topic : str
        Name of the record.
    keys : iterable of str
        One for each case.
    work : callable (str) → mapping
        What makes a result that JSON can hold.

    Returns
    -------
    list of mapping
        In the order of the keys.
    """
    file = FOLDER / f"{topic}.jsonl"
    known: dict[str, Mapping[str, Any]] = {}
    for line in file.read_text(encoding="utf-8").splitlines() if file.exists() else ():
        entry = json.loads(line)
        if as_recorded() or entry["code"] == digest():
            known[entry["key"]] = entry["result"]
    found = []
    for key in keys:
        if key not in known:
            if as_recorded():
                continue
            known[key] = work(key)
            FOLDER.mkdir(parents=True, exist_ok=True)
            with file.open("a", encoding="utf-8") as record:
                record.write(json.dumps({"code": digest(), "key": key, "result": dict(known[key])}) + "\n")
            if "--talk" in sys.argv:
                print(topic, key, known[key], file=sys.stderr, flush=True)
        found.append(known[key])
    return found
