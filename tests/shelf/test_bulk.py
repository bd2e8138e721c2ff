"""Work over many folders gives the same wherever it is done, and one that fails stops nothing."""

from __future__ import annotations

import os
from functools import partial
from pathlib import Path

import pytest

from lidoff.errors import DossierError
from lidoff.shelf import INDEX_NAME, Done, analysed_entry, each, open_index, update
from lidoff.shelf.bulk import attempt
from tests.shelf.build import lamp_text, shelf_of


def square(text: str) -> int:
    """Square of a number, or trouble."""
    if text == "dead":
        os._exit(3)
    if text == "odd":
        raise DossierError("cannot be read", where=text)
    return int(text) ** 2


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


def test_a_process_that_dies_is_a_problem_of_its_task() -> None:
    found = list(each(square, ["dead"], processes=2))

    assert [done.about for done in found] == ["dead"]
    assert "its process ended" in found[0].problem


def test_called_off_the_rest_is_left() -> None:
    work = each(square, (str(k) for k in range(10**9)), processes=2)

    assert isinstance(next(work), Done)
    work.close()  # type: ignore[attr-defined]


def test_a_scheduler_that_is_not_there_is_told() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(DossierError, match="scheduler cannot be reached"):
        list(each(square, ["2"], scheduler="tcp://127.0.0.1:9"))


def test_a_cluster_gives_the_same_entries(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    shelf = shelf_of(
        tmp_path,
        {f"lamp-{k}": lamp_text(ohms=f"{100 + 10 * k} Ω") for k in range(6)} | {"broken": "[device"},
    )
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0"
        ) as cluster,
        open_index(shelf / INDEX_NAME) as index,
    ):
        updated = update(index, shelf, scheduler=cluster.scheduler_address)
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
