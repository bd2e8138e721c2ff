"""Time to the help of `lidoff` over that of an interpreter that does nothing."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.measurement import Measurement, interleaved_medians

__all__ = ["measure"]

# What the console script of an installed lidoff does.
HELP = "import sys; from lidoff.cli import main; sys.exit(main(['--help']))"


def start(program: str) -> None:
    """Run a program text in an interpreter of its own."""
    subprocess.run([sys.executable, "-c", program], stdout=subprocess.DEVNULL, check=True)


def measure() -> Measurement:
    """Median of 31 starts each, taken in turn."""
    seconds = interleaved_medians({"help": lambda: start(HELP), "bare": lambda: start("pass")}, rounds=31)
    return Measurement(name="start_up", ratio=seconds["help"] / seconds["bare"], limit=5.0, seconds=seconds)
