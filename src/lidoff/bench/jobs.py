"""Work that takes longer than a breath: each piece in a process of its own, that can be ended at any moment."""

from __future__ import annotations

import multiprocessing
import threading
from collections import OrderedDict
from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Literal

from pydantic import BaseModel, ConfigDict, JsonValue

from lidoff.bench.beside import let_imports_end, serve_the_server
from lidoff.bench.events import Events
from lidoff.bench.trouble import Trouble, trouble_of
from lidoff.errors import EditRefused, LidoffError, UnknownName

__all__ = ["Job", "Jobs", "Teller"]

Teller = Callable[[str, float], None]
"""Told what is being done and the share done."""
_KEPT = 40


class Job(BaseModel):
    """One piece of work: what it is, how far it is, and what came out."""

    model_config = ConfigDict(extra="forbid")
    job: str
    task: str
    state: Literal["waiting", "working", "done", "failed", "cancelled"] = "waiting"
    text: str = ""
    share: float = 0.0
    result: JsonValue = None
    problem: Trouble | None = None


class Jobs:
    """Jobs, one running at a time, the others waiting.

    Parameters
    ----------
    events : Events
        Told of progress and ends.
    most : int
        Most jobs that wait or run at one time.
    """

    def __init__(self, events: Events, *, most: int) -> None:
        self._events = events
        self._most = most
        self._guard = threading.Lock()
        self._turn = threading.Lock()
        self._jobs: OrderedDict[str, Job] = OrderedDict()
        self._processes: dict[str, BaseProcess] = {}
        self._number = 0
        self._closing = False

    def start(
        self,
        task: str,
        function: Callable[..., JsonValue],
        *arguments: object,
        then: Callable[[JsonValue], JsonValue] | None = None,
    ) -> Job:
        """Start a job, or let it wait for its turn.

        Parameters
        ----------
        task : str
            What it is, in a word.
        function : callable (tell, *arguments) → plain data
            Of a module; runs in a process of its own.
        *arguments : object
            Plain data.
        then : callable (result) → result, optional
            Done in this process with what came out.

        Returns
        -------
        Job
            Waiting.

        Raises
        ------
        EditRefused
            Too many wait already.
        """
        with self._guard:
            busy = sum(job.state in ("waiting", "working") for job in self._jobs.values())
            if busy >= self._most:
                raise EditRefused(
                    f"{busy} jobs wait already", code="busy", remedy="wait for one of them, or cancel one"
                )
            self._number += 1
            job = Job(job=f"job-{self._number}", task=task)
            self._jobs[job.job] = job
            while len(self._jobs) > _KEPT:
                self._jobs.popitem(last=False)
        thread = threading.Thread(target=self._run, args=(job, function, arguments, then), daemon=True)
        thread.start()
        return job.model_copy()

    def told(self, name: str) -> Job:
        """How a job stands.

        Raises
        ------
        UnknownName
            There is no such job.
        """
        with self._guard:
            if name not in self._jobs:
                raise UnknownName(f"there is no job {name!r}", name=name, known=self._jobs)
            return self._jobs[name].model_copy()

    def cancel(self, name: str) -> Job:
        """End a job; one that is over stays as it is."""
        self.told(name)
        with self._guard:
            job = self._jobs[name]
            if job.state in ("waiting", "working"):
                job.state = "cancelled"
            process = self._processes.get(name)
        if process is not None:
            process.terminate()
        return self.told(name)

    def close(self) -> None:
        """End all jobs."""
        self._closing = True
        with self._guard:
            processes = list(self._processes.values())
        for process in processes:
            process.terminate()

    def _run(
        self,
        job: Job,
        function: Callable[..., JsonValue],
        arguments: tuple[object, ...],
        then: Callable[[JsonValue], JsonValue] | None,
    ) -> None:
        with self._turn:
            if job.state == "cancelled" or self._closing:
                self._end(job)
                return
            context = multiprocessing.get_context("spawn")
            let_imports_end()
            ours, theirs = context.Pipe()
            process = context.Process(target=_inside, args=(theirs, function, arguments), daemon=True)
            with self._guard:
                begins = job.state == "waiting"
                if begins:
                    job.state = "working"
                    process.start()
                    self._processes[job.job] = process
            theirs.close()
            if not begins:  # cancelled meanwhile
                ours.close()
                self._end(job)
                return
            try:
                self._follow(job, ours, then)
            finally:
                ours.close()
                process.join(5.0)
                if process.is_alive():
                    process.kill()
                with self._guard:
                    self._processes.pop(job.job, None)
                self._end(job)

    def _follow(self, job: Job, ours: Connection, then: Callable[[JsonValue], JsonValue] | None) -> None:
        while True:
            try:
                sort, told = ours.recv()
            except (EOFError, OSError):
                if job.state != "cancelled":
                    job.state = "failed"
                    job.problem = Trouble(
                        code="ended",
                        what="the work ended without an answer",
                        remedy="try again; it may have met a limit",
                    )
                return
            if sort == "progress":
                job.text, job.share = told
                self._events.tell("working", task=job.task, job=job.job, text=job.text, share=job.share)
                continue
            if job.state == "cancelled":
                return
            if sort == "error":
                job.problem, job.state = trouble_of(told), "failed"
                return
            try:
                job.result = then(told) if then is not None else told
                job.state, job.share = "done", 1.0
            except LidoffError as error:
                job.problem, job.state = trouble_of(error), "failed"
            return

    def _end(self, job: Job) -> None:
        self._events.tell("job", job=job.job, task=job.task, state=job.state)


def _inside(pipe: Connection, function: Callable[..., JsonValue], arguments: tuple[object, ...]) -> None:
    """Do the work in the process of a job."""
    serve_the_server()

    def tell(text: str, share: float) -> None:
        pipe.send(("progress", (text, share)))

    try:
        pipe.send(("result", function(tell, *arguments)))
    except LidoffError as error:
        pipe.send(("error", error))
    except Exception as error:
        pipe.send(
            (
                "error",
                LidoffError(f"the work failed ({type(error).__name__}: {error})", remedy="please report it"),
            )
        )
