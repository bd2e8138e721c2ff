"""Work over a Dask cluster gives the same, and ends with a word where nobody is left to do it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from lidoff.errors import DossierError
from lidoff.shelf import INDEX_NAME, analysed_entry, each, open_index, over_dask, update
from lidoff.shelf.reporting import written_report
from tests.shelf.build import eventually, lamp_text, shelf_of, square


def test_a_scheduler_that_is_not_there_is_told() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(DossierError, match="scheduler cannot be reached"):
        list(each(square, ["2"], scheduler="tcp://127.0.0.1:9"))


@pytest.fixture(scope="module")
def cluster() -> Iterator[str]:
    """Address of a scheduler with two workers, each a process of its own."""
    distributed = pytest.importorskip("distributed")
    dask = pytest.importorskip("dask")
    with (
        dask.config.set(
            {
                "distributed.scheduler.allowed-failures": 0,  # a task that kills its worker is not tried again
                "distributed.deploy.lost-worker-timeout": "10 minutes",  # on a busy machine one starts anew late
            }
        ),
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
        ) as started,
    ):
        yield started.scheduler_address


def test_a_cluster_gives_the_same_entries(tmp_path: Path, cluster: str) -> None:
    shelf = shelf_of(
        tmp_path,
        {f"lamp-{k}": lamp_text(ohms=f"{100 + 10 * k} Ω") for k in range(6)} | {"broken": "[device"},
    )
    with open_index(shelf / INDEX_NAME) as index:
        updated = update(index, shelf, scheduler=cluster)
        entries = {folder: index.entry(folder) for folder in index.stamps()}

    assert updated.dossiers == 6
    assert set(updated.problems) == {"broken"}
    alone = partial(analysed_entry, str(shelf))
    for k in range(6):
        kept, made = entries[f"lamp-{k}"], alone(f"lamp-{k}")[1]
        assert kept is not None
        assert (kept.parts, kept.numbers, kept.claims, kept.labels) == (
            made.parts, made.numbers, made.claims, made.labels,
        )  # fmt: skip


def test_a_cluster_writes_the_same_reports(tmp_path: Path, cluster: str) -> None:
    shelf = shelf_of(tmp_path, {"one": lamp_text(), "two": lamp_text(title="Lamp two (invented)")})
    work = partial(written_report, str(shelf))
    alone = {folder: Path(work(folder)).read_bytes() for folder in ("one", "two")}

    found = {done.about: done for done in each(work, ["one", "two", "gone"], scheduler=cluster)}

    assert {"one", "two"} == {about for about, done in found.items() if done.result}
    assert "there is no such file or folder" in found["gone"].problem
    assert alone == {folder: Path(found[folder].result or "").read_bytes() for folder in alone}


def test_a_cluster_loses_no_task_to_one_that_kills_its_workers(cluster: str) -> None:
    tasks = ["2", "dead", *(str(k) for k in range(10, 20))]

    found = {done.about: done for done in each(square, tasks, scheduler=cluster)}

    assert sorted(tasks) == sorted(found)
    assert "its worker failed" in found["dead"].problem
    assert all(done.result == int(about) ** 2 for about, done in found.items() if about != "dead")


@pytest.fixture
def bare_cluster(tmp_path: Path) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """Address of a scheduler, and the processes: the scheduler's, then those of two workers that nobody starts again."""
    pytest.importorskip("distributed")
    told = tmp_path / "scheduler.json"
    asked = {
        "cwd": tmp_path,
        "stderr": subprocess.DEVNULL,
        "env": {**os.environ, "PYTHONPATH": str(Path.cwd())},
    }
    here = ["--scheduler-file", str(told)]
    dask = [sys.executable, "-m", "distributed.cli.dask_scheduler", "--port", "0", "--no-dashboard"]
    worker = [sys.executable, "-m", "distributed.cli.dask_worker", "--nthreads", "1", "--no-nanny"]
    started = [subprocess.Popen([*dask, *here], **asked)]  # type: ignore[call-overload]
    try:
        assert eventually(lambda: told.exists() and bool(told.read_text(encoding="utf-8").strip()))
        started += [subprocess.Popen([*worker, *here, "--no-dashboard"], **asked) for _ in range(2)]  # type: ignore[call-overload]
        yield json.loads(told.read_text(encoding="utf-8"))["address"], started
    finally:
        for process in started:
            process.kill()
            process.wait()


def sleep_over_it(text: str) -> int:
    """Square of a number, later; long over another."""
    time.sleep(0.2 if int(text) < 4 else 600.0)
    return int(text) ** 2


@pytest.mark.parametrize("who", ["workers", "scheduler"])
def test_a_cluster_of_which_all_workers_die_ends_with_what_was_not_done(
    bare_cluster: tuple[str, list[subprocess.Popen[bytes]]], who: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    address, (scheduler, *workers) = bare_cluster
    monkeypatch.setattr(over_dask, "LOOK", 0.5)
    monkeypatch.setattr(over_dask, "PATIENCE", 2.0)
    with distributed_client(address) as client:
        client.wait_for_workers(2, timeout=60)
    work = each(sleep_over_it, [str(k) for k in range(20)], scheduler=address)
    done = {next(work).about for _ in range(4)}
    for process in workers if who == "workers" else [scheduler]:
        process.send_signal(signal.SIGKILL)

    with pytest.raises(
        DossierError, match="no worker is left, for 2 s" if who == "workers" else "is gone"
    ) as told:
        next(work)

    assert {"0", "1", "2", "3"} == done
    assert "not done: 4, 5, 6, 7" in told.value.what
    assert address == told.value.where
    assert "give the command again" in told.value.remedy


def distributed_client(address: str) -> Any:
    """Client of a cluster, to be closed."""
    from distributed import Client

    return Client(address, set_as_default=False)


def test_a_cluster_that_stays_without_workers_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    distributed = pytest.importorskip("distributed")
    monkeypatch.setattr(over_dask, "LOOK", 0.2)
    monkeypatch.setattr(over_dask, "PATIENCE", 1.0)
    with (
        distributed.LocalCluster(n_workers=0, dashboard_address=":0") as empty,
        pytest.raises(DossierError, match="no worker is left, for 1 s; not done: 2, 3, and what"),
    ):
        list(each(square, ["2", "3"], scheduler=empty.scheduler_address))


def test_what_was_read_before_all_workers_died_is_kept_and_not_read_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    distributed = pytest.importorskip("distributed")
    shelf = shelf_of(tmp_path, {f"lamp-{k}": lamp_text(ohms=f"{100 + 10 * k} Ω") for k in range(12)})
    monkeypatch.setattr(over_dask, "LOOK", 0.2)
    monkeypatch.setattr(over_dask, "PATIENCE", 1.0)
    with (
        open_index(shelf / INDEX_NAME) as index,
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, processes=True, dashboard_address=":0"
        ) as cluster,
    ):

        def end_workers(_text: str, _share: float) -> None:
            if index.count() == 3:
                cluster.scale(0)

        with pytest.raises(DossierError, match="no worker is left"):
            update(index, shelf, scheduler=cluster.scheduler_address, progress=end_workers)
        kept = index.count()
        again = update(index, shelf)

    assert 3 <= kept < 12
    assert (12, 12 - kept, {}) == (again.dossiers, again.read, again.problems)


FAULTS = """
import resource
import numpy as np
from lidoff.shelf.dask_worker import keep_memory

def faults():
    before = resource.getrusage(resource.RUSAGE_SELF).ru_minflt
    for _ in range(200):
        np.ones(100_000)
    return resource.getrusage(resource.RUSAGE_SELF).ru_minflt - before

faults()
given_back = faults()
assert keep_memory()
faults()
print(given_back, faults())
"""


@pytest.mark.skipif(sys.platform != "linux", reason="the settings are those of glibc")
def test_a_prepared_worker_pages_no_array_in_anew() -> None:
    pytest.importorskip("dask")
    asked = {**os.environ, "MALLOC_TRIM_THRESHOLD_": "65536"}  # as Dask starts its workers

    told = subprocess.run(
        [sys.executable, "-c", FAULTS], env=asked, capture_output=True, text=True, check=True
    )

    given_back, kept = map(int, told.stdout.split())
    assert given_back > 10_000
    assert kept < 1_000


def test_a_prepared_worker_takes_no_profile_and_has_all_loaded() -> None:
    distributed = pytest.importorskip("distributed")
    dask = pytest.importorskip("dask")
    with (
        dask.config.set({"distributed.worker.preload": ["lidoff.shelf.dask_worker"]}),
        distributed.LocalCluster(
            n_workers=1, threads_per_worker=1, processes=True, dashboard_address=":0"
        ) as prepared,
    ):
        with prepared.get_client() as client:
            (state,) = client.run(state_of_worker).values()
        (done,) = each(square, ["7"], scheduler=prepared.scheduler_address)

    assert (False, True) == state
    assert 49 == done.result


def state_of_worker(dask_worker: Any) -> tuple[bool, bool]:
    """Whether a worker looks at its stack time and again, and whether what an analysis needs is loaded."""
    return "profile" in dask_worker.periodic_callbacks, "lidoff.report" in sys.modules


def test_work_over_a_cluster_can_be_called_off(cluster: str) -> None:
    work = each(square, [str(k) for k in range(1000)], scheduler=cluster)
    next(work)
    work.close()  # type: ignore[attr-defined]

    assert {"9": 81} == {done.about: done.result for done in each(square, ["9"], scheduler=cluster)}
