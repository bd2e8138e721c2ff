"""Work over many folders gives the same wherever it is done, and one that fails stops nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from lidoff.shelf import Done, bulk, each
from lidoff.shelf.bulk import attempt
from lidoff.shelf.worker import LEAST_MEMORY, share_of_memory
from tests.shelf.build import eventually, square


def test_results_come_with_what_they_are_about() -> None:
    found = {done.about: done.result for done in each(square, ["2", "3"])}

    assert found == {"2": 4, "3": 9}


def test_trouble_is_told_in_words() -> None:
    known, unknown = attempt(square, "odd"), attempt(square, "x")

    assert known.problem.startswith("odd: cannot be read") or "cannot be read" in known.problem
    assert "ValueError" in unknown.problem
    assert known.result is None


def test_processes_give_what_one_gives() -> None:
    tasks = [str(k) for k in range(40)]

    alone = {done.about: done.result for done in each(square, tasks)}
    together = {done.about: done.result for done in each(square, tasks, processes=2)}

    assert alone == together


def test_a_process_that_dies_is_a_problem_of_its_task_alone() -> None:
    tasks = ["2", "3", "dead", *(str(k) for k in range(10, 30)), "dead", "4"]

    found = list(each(square, tasks, processes=2))

    assert sorted(tasks) == sorted(done.about for done in found)
    assert ["dead", "dead"] == [done.about for done in found if done.problem]
    assert all("its process ended" in done.problem for done in found if done.about == "dead")
    assert all(done.result == int(done.about) ** 2 for done in found if done.about != "dead")


@pytest.mark.parametrize("many", [1, 2, 3, 7])
def test_processes_that_are_replaced_lose_nothing(many: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bulk, "TASKS_A_PROCESS", many)
    tasks = [str(k) for k in range(17)]

    found = list(each(square, tasks, processes=2))

    assert sorted(tasks) == sorted(done.about for done in found if done.result == int(done.about) ** 2)


def own_process(_: str) -> int:
    """Number of the process that it is done in."""
    time.sleep(0.05)  # so that both have something to do
    return os.getpid()


def test_processes_are_replaced_after_some_tasks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(bulk, "TASKS_A_PROCESS", 5)

    found = [done.result for done in each(own_process, [str(k) for k in range(30)], processes=2)]

    assert 6 >= len(set(found)) >= 4
    assert os.getpid() not in found


def hoard(megabytes: str) -> int:
    """Take memory, and tell how much."""
    return int(np.ones(int(megabytes) * 125_000).sum() * 8)


@pytest.mark.skipif(sys.platform != "linux", reason="other systems do not bound it so")
def test_what_takes_more_memory_than_is_granted_fails_by_itself() -> None:
    found = {
        done.about: done for done in each(hoard, ["50", "3000", "60"], processes=2, memory=1_500_000_000)
    }

    assert "takes more memory than one process is granted" in found["3000"].problem
    assert 50_000_000 == found["50"].result
    assert 60_000_000 == found["60"].result


def test_the_memory_of_the_machine_is_shared_out() -> None:
    whole, half = share_of_memory(1), share_of_memory(2)

    assert LEAST_MEMORY < whole
    assert abs(half - max(whole // 2, LEAST_MEMORY)) <= 1
    assert LEAST_MEMORY == share_of_memory(10_000)


def test_a_process_among_many_works_with_one_thread() -> None:
    script = (
        "from lidoff.shelf import worker; import threadpoolctl; worker.begin(0); "
        "print(*(one['num_threads'] for one in threadpoolctl.threadpool_info()))"
    )
    asked = {**os.environ, "OPENBLAS_NUM_THREADS": "4", "OMP_NUM_THREADS": "4"}

    told = subprocess.run(
        [sys.executable, "-c", script], env=asked, capture_output=True, text=True, check=True
    )

    assert {"1"} == set(told.stdout.split())


ENDLESS = """
import sys, time
from pathlib import Path
from lidoff.shelf import each

def wait(folder):
    import os
    (Path(folder) / f"{os.getpid()}.pid").touch()
    time.sleep(600)

if __name__ == "__main__":
    list(each(wait, sys.argv[1:] * 2, processes=2))
"""


def is_alive(process: int) -> bool:
    """Whether a process still runs; one that nobody has fetched the end of does not."""
    try:
        return "\nState:\tZ" not in Path(f"/proc/{process}/status").read_text(encoding="ascii")
    except OSError:
        return False


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGTERM])
def test_processes_end_when_the_one_that_waits_for_them_is_killed(
    tmp_path: Path, how: signal.Signals
) -> None:
    script = tmp_path / "endless.py"
    script.write_text(ENDLESS, encoding="utf-8")
    with subprocess.Popen([sys.executable, str(script), str(tmp_path)], stderr=subprocess.DEVNULL) as parent:
        try:
            assert eventually(lambda: len(list(tmp_path.glob("*.pid"))) == 2)
        except BaseException:
            parent.kill()  # else its tasks, which never end, would be waited for
            raise
        parent.send_signal(how)
    workers = [int(file.stem) for file in tmp_path.glob("*.pid")]

    assert eventually(lambda: not any(map(is_alive, workers)))


def test_a_result_that_cannot_be_sent_is_a_problem_of_its_task() -> None:
    found = {done.about: done for done in each(unsendable, ["lambda", "x"], processes=2)}

    assert "its result cannot be handed over" in found["lambda"].problem
    assert "x" == found["x"].result


def unsendable(text: str) -> object:
    """Text, or something that cannot be sent to another process."""
    return (lambda: text) if text == "lambda" else text


def test_called_off_the_rest_is_left() -> None:
    work = each(square, (str(k) for k in range(10**9)), processes=2)

    assert isinstance(next(work), Done)
    work.close()  # type: ignore[attr-defined]
