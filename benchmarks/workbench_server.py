"""A workbench in a process of its own, for what is measured through a browser."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

__all__ = ["served"]


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """Serve a dossier while the block runs.

    Parameters
    ----------
    folder : Path
        Of the dossier.

    Yields
    ------
    str
        Address of its page, with the key.
    """
    program = Path(sys.executable).with_name("lidoff")
    command: list[str | Path] = [program, "bench", folder, "--no-open", "--port", "0"]
    environment = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    process = subprocess.Popen(command, env=environment, stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    try:
        address = next((line.split()[1] for line in process.stdout if line.startswith("page ")), None)
        if address is None:
            raise RuntimeError("the workbench did not start")
        yield address
    finally:
        process.terminate()
        process.wait(20)
        process.stdout.close()
