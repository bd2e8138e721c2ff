"""A workbench in a process of its own, on a port of its own, as a person would start it."""

import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from typing import TextIO

READY_S = 90.0


class Server:
    """A running workbench; can be ended and started again at the same address, as after a crash."""

    def __init__(self, folder: Path, beside: Path, *more: str, program: Sequence[str | Path] = ()) -> None:
        self.folder = folder
        self._program = program or (Path(sys.executable).with_name("lidoff"), "bench")
        self._more = more
        self.log = beside / "server.log"
        self.port = 0
        self.address = ""
        self._process: subprocess.Popen[str] | None = None

    def start(self) -> None:
        command = [*self._program, self.folder, "--no-open", "--port", str(self.port), *self._more]
        with self.log.open("a") as log:
            environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
            environment.pop(
                "PYTHONDONTWRITEBYTECODE", None
            )  # its processes start quicker from compiled files
            self._process = subprocess.Popen(
                command, env=environment, stdout=subprocess.PIPE, stderr=log, text=True
            )
        told: Queue[str] = Queue()
        assert self._process.stdout is not None
        Thread(target=_address_in, args=(self._process.stdout, told), daemon=True).start()
        try:
            self.address = told.get(timeout=READY_S)
        except Empty:
            self.address = ""
        if not self.address:
            self.end()
        assert self.address, f"the workbench did not start: {self.log.read_text()}"
        self.port = int(self.address.split(":")[2].split("/")[0])

    def end(self, how: int = signal.SIGTERM) -> None:
        if self._process is not None:
            if self._process.poll() is None:
                self._process.send_signal(how)
            self._process.wait(20)
            assert self._process.stdout is not None
            self._process.stdout.close()
            self._process = None


def _address_in(out: TextIO, told: Queue[str]) -> None:
    for line in out:
        if line.startswith("page "):
            told.put(line.split()[1])
            return  # what else it prints fits into the pipe
    told.put("")
