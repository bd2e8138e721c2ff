"""A shelf of ten thousand dossiers: searching, updating one entry, finding circuits alike; two processes against one.

The entries are made of random plausible circuits, four hundred different ones, with words and claims drawn for each. What is
promised, a twentieth of a second for a search and for the update of one, stands in the ratios; the floor beside it is a plain
SQLite query in the same run.
"""

from __future__ import annotations

import os
import random
import resource
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from statistics import mean, median

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
    largest_first,
    open_index,
)

DOSSIERS = 10_000
CIRCUITS = 400
PROMISED = 0.05
"""Seconds for a search, and for the update of one entry."""
DEMOS = sorted(file.parent for file in (Path(__file__).parents[1] / "demos").glob("*/dossier.toml"))
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
    return [*found, *in_bulk()]


def in_bulk(dossiers: int = 64) -> list[Measurement]:
    """Analysing in one process, in two, and over a Dask cluster of two, its workers prepared or as Dask starts them.

    Every dossier is read for the first time: the copies differ in blanks at the end of each board, so that none is found among
    the boards that were read before. This process has read one of each demo when it begins; the others have nothing. The start
    of local processes counts, as they are made for the work; that of a cluster does not. What other programs took of the
    processors meanwhile is counted by the system as time of waiting, and left out; both shares are told. A third one knows no
    clock: the processor time of one process over that of all that took part, scheduler and caller as well.
    """
    with tempfile.TemporaryDirectory() as folder:
        names = _copies(Path(folder), dossiers)
        for name in sorted(names)[: len(DEMOS)]:
            analysed_entry(folder, name)
        alone = _worked(folder, names, processes=1)
        spread = (
            ("two processes", _worked(folder, names, processes=2), 1.0),
            (
                "two prepared workers of Dask",
                _over_a_cluster(folder, names, preload=("lidoff.shelf.dask_worker",)),
                1.0,
            ),
            ("two workers as Dask starts them", _over_a_cluster(folder, names), None),
        )
    return [
        Measurement(
            name=f"share of two processors that {name} use on {dossiers} dossiers, promised over found",
            ratio=SHARE * 2 * done.undisturbed / alone.undisturbed,
            limit=limit,
            seconds={"one process": alone.undisturbed, name: done.undisturbed},
            details={
                "share": alone.undisturbed / (2 * done.undisturbed),
                "share with what others took": alone.seconds / (2 * done.seconds),
                "processor time of one process over that of all": alone.busy / (done.busy + done.beside),
                "processor seconds of one process": alone.busy,
                f"processor seconds of {name}": done.busy,
                "processor seconds of scheduler and caller": done.beside,
                f"seconds that each of {name} waited for others": done.waited,
                "most memory of one of them, in megabytes": done.megabytes,
                "processors": float(os.cpu_count() or 1),
            },
        )
        for name, done, limit in spread
    ]


@dataclass(frozen=True, kw_only=True)
class Worked:
    """How long some dossiers took [s], and what it took of the machine.

    `waited` is the mean time that a process waited for a processor that others had, `busy` the processor time of those that
    worked, `beside` that of the process that only handed out.
    """

    seconds: float
    waited: float
    busy: float
    beside: float
    megabytes: float

    @property
    def undisturbed(self) -> float:
        """How long they would have taken alone on the machine [s]."""
        return self.seconds - self.waited


@dataclass(frozen=True, kw_only=True)
class Spent:
    """What a process has taken since it began: processor time and waiting for it [s], and the most memory [MB]."""

    process: int
    busy: float
    waited: float
    megabytes: float


def spent() -> Spent:
    """What this process has taken; its waiting is that of the thread that asks, and zero where the system does not count it."""
    counted = Path("/proc/thread-self/schedstat")
    waited = int(counted.read_text(encoding="ascii").split()[1]) / 1e9 if counted.exists() else 0.0
    most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
    return Spent(process=os.getpid(), busy=time.process_time(), waited=waited, megabytes=most)


def measured_entry(shelf: str, folder: str) -> tuple[Spent, Spent]:
    """Analyse one dossier; tells what its process has taken until it began with it, and until it was done."""
    before = spent()
    analysed_entry(shelf, folder)
    return before, spent()


def _worked(folder: str, names: Sequence[str], *, processes: int = 1, scheduler: str = "") -> Worked:
    start, own = time.perf_counter(), spent()
    first: dict[int, Spent] = {}
    last: dict[int, Spent] = {}
    for done in each(partial(measured_entry, folder), names, processes=processes, scheduler=scheduler):
        assert done.result is not None, done.problem
        before, after = done.result
        first[before.process] = min(first.get(before.process, before), before, key=lambda one: one.busy)
        last[after.process] = max(last.get(after.process, after), after, key=lambda one: one.busy)
    seconds = time.perf_counter() - start
    return Worked(
        seconds=seconds,
        waited=mean(one.waited - first[process].waited for process, one in last.items()),
        busy=sum(one.busy - first[process].busy for process, one in last.items()),
        beside=0.0 if own.process in last else spent().busy - own.busy,
        megabytes=max(one.megabytes for one in last.values()),
    )


def _over_a_cluster(folder: str, names: Sequence[str], *, preload: Sequence[str] = ()) -> Worked:
    """The same over a scheduler; its workers are there before, as they are where there is a cluster."""
    import dask
    from distributed import LocalCluster

    with (
        dask.config.set({"distributed.worker.preload": list(preload)}),
        LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0") as cluster,
    ):
        return _worked(folder, names, scheduler=cluster.scheduler_address)


def _copies(folder: Path, count: int) -> list[str]:
    """Copies of the demos without their photos, no two of them with the same board."""
    names = []
    for number in range(count):
        demo = DEMOS[number % len(DEMOS)]
        name = f"{number:03d}-{demo.name}"
        shutil.copytree(demo, folder / name, ignore=shutil.ignore_patterns("out", "photos"))
        for board in (folder / name / "boards").glob("*.json"):
            board.write_text(board.read_text(encoding="utf-8") + " " * number, encoding="utf-8")
        names.append(name)
    return largest_first(folder, names)
