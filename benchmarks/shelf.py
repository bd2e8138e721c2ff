"""A shelf of ten thousand dossiers: searching, updating one entry, finding circuits alike, and two processes against one.

The entries are made of random plausible circuits, four hundred different ones, with words and claims drawn for each. What is
promised, a twentieth of a second for a search and for the update of one, stands in the ratios; the floor beside it is a plain
SQLite query in the same run.
"""

from __future__ import annotations

import os
import random
import shutil
import sqlite3
import tempfile
import time
from functools import partial
from pathlib import Path
from statistics import median

from benchmarks.measurement import Measurement
from benchmarks.plausible import plausible_circuit
from lidoff.quantities import Quantity
from lidoff.shelf import (
    INDEX_NAME,
    Asked,
    Index,
    ShelfBlock,
    ShelfClaim,
    ShelfEntry,
    ShelfNumber,
    ShelfPart,
    alike,
    analysed_entry,
    circuit_labels,
    claim_records,
    each,
    find,
    open_index,
)

DOSSIERS = 10_000
CIRCUITS = 400
PROMISED = 0.05
"""Seconds for a search, and for the update of one entry."""
SHARE = 0.9
"""Promised share of two processors that two processes use."""
WORDS = (
    "lamp", "torch", "fan", "heater", "charger", "vacuum", "shaver", "scale", "clock", "speaker",
    "keyboard", "mouse", "trap", "pump", "mixer", "brush", "thermostat", "detector", "alarm", "doorbell",
    "camera", "monitor", "battery", "adapter", "cable", "motor", "button", "sensor", "display", "receiver",
    "remote", "timer",
)  # fmt: skip


def entries(count: int) -> list[ShelfEntry]:
    """Plausible entries, the same in each run."""
    rng = random.Random(7)
    circuits = [plausible_circuit(seed, 2 + seed % 7) for seed in range(CIRCUITS)]
    labels = [circuit_labels(circuit) for circuit in circuits]
    made = []
    for number in range(count):
        which = rng.randrange(CIRCUITS)
        parts = circuits[which].parts
        title = " ".join(rng.sample(WORDS, 3))
        blocks = [
            ShelfBlock(kind=rng.choice(WORDS), title=rng.choice(WORDS), parts=(part.reference,))
            for part in parts[::4]
        ]
        claims = [
            ShelfClaim(
                name=f"c{k}", kind=rng.choice(("power_input", "run_time", "charge_time")), says=rng.choice(WORDS),
                sense="at least", verdict=rng.choice(("borne out", "not borne out", "cannot tell")),
                claimed=1.0, found=rng.uniform(0.2, 1.5), unit="W",
            )
            for k in range(4)
        ]  # fmt: skip
        made.append(
            ShelfEntry(
                folder=f"shelf/{number:05d}",
                title=title,
                parts=tuple(
                    ShelfPart(reference=part.reference, kind=part.kind, marking=f"{rng.randrange(10**4):04d}")
                    for part in parts
                ),
                numbers=tuple(
                    ShelfNumber(
                        reference=part.reference,
                        parameter="resistance",
                        value=round(10.0 ** rng.uniform(0, 6), 2),
                        unit="Ω",
                    )
                    for part in parts
                    if part.kind == "resistor"
                ),
                blocks=tuple(blocks),
                claims=tuple(claims),
                texts={"device": title} | {
                    f"parts.{part.reference}": f"{part.reference} {part.kind} {' '.join(rng.sample(WORDS, 4))}"
                    for part in parts
                },
                labels=labels[which],
            )
        )  # fmt: skip
    return made


def _median(work: object, rounds: int = 9) -> float:
    taken = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()  # type: ignore[operator]
        taken.append(time.perf_counter() - start)
    return median(taken)


def _asked(index: Index, entry: ShelfEntry) -> dict[str, object]:
    questions = {
        "a word": Asked(words="thermostat"),
        "two words": Asked(words="vacuum charg"),
        "a marking": Asked(marking="0042"),
        "a kind of part": Asked(part="zener"),
        "a value and a verdict": Asked(value=Quantity(4700.0, "Ω", 100.0), verdict="not borne out"),
    }
    asked: dict[str, object] = {name: partial(find, index, one) for name, one in questions.items()}
    asked["circuits alike"] = partial(alike, index, entry)
    return asked


def measure() -> list[Measurement]:
    """Searches and updates on a full shelf, and how well two processes share the work."""
    made = entries(DOSSIERS)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / INDEX_NAME
        with open_index(file) as index:
            start = time.perf_counter()
            for entry in made:
                index.keep(entry, "1")
            built = time.perf_counter() - start
            size = sum(one.stat().st_size for one in Path(folder).iterdir())
            plain = sqlite3.connect(file)
            floor = _median(lambda: plain.execute("SELECT count(*) FROM parts").fetchone())
            plain.close()
            seconds = {name: _median(work) for name, work in _asked(index, made[123]).items()}
            update = _median(lambda: index.keep(made[123], "2"))
            records = _median(lambda: claim_records(index), rounds=3)
    found = [
        Measurement(
            name=f"search of 10 000 dossiers for {name} over its promise",
            ratio=taken / PROMISED,
            limit=1.0,
            seconds={"search": taken, "counting all parts": floor},
        )
        for name, taken in seconds.items()
    ]
    found.append(
        Measurement(
            name="update of one entry among 10 000 over its promise",
            ratio=update / PROMISED,
            limit=1.0,
            seconds={"update": update},
        )
    )
    found.append(
        Measurement(
            name="index of 10 000 dossiers, bytes a dossier over those of its bare words",
            ratio=size / sum(len(text) for entry in made for text in entry.texts.values()),
            seconds={"building": built, "counting all claims": records},
            details={"megabytes": size / 1e6, "kilobytes a dossier": size / 1e3 / DOSSIERS},
        )
    )
    return [*found, _two_processes()]


def _two_processes(copies: int = 24) -> Measurement:
    """Analysing copies of a demo in one process and in two, start of the processes and all."""
    demo = Path(__file__).parents[1] / "demos" / "crumb-vacuum"
    with tempfile.TemporaryDirectory() as folder:
        names = [f"copy-{k}" for k in range(copies)]
        for name in names:
            shutil.copytree(demo, Path(folder) / name, ignore=shutil.ignore_patterns("out", "photos"))
        work = partial(analysed_entry, folder)
        work(names[0])  # imports
        taken = {}
        for processes in (1, 2):
            start = time.perf_counter()
            assert not [done.problem for done in each(work, names, processes=processes) if done.problem]
            taken[processes] = time.perf_counter() - start
    used = taken[1] / (2 * taken[2])
    return Measurement(
        name="share of two processors that two processes use, promised over found",
        ratio=SHARE / used,
        limit=1.0,
        seconds={"one process": taken[1], "two processes": taken[2]},
        details={"share": used, "processors": float(os.cpu_count() or 1)},
    )
