"""Write the invented logs of the demo dossiers: ``python -m demos.make_logs``.

The same script always gives the same files. ``--check`` writes nothing and ends with 1 if a file would change.
"""

from __future__ import annotations

import argparse
import math
import random
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from .truth.crumb_vacuum import CHARGE

HERE = Path(__file__).parent
EVERY = 10  # [s] from row to row
DRAWN = 0.5  # [A] that the electronic load takes
OFF_AT = 3.0  # [V] at which it lets go
RESISTANCE = 0.0565 + 0.062  # [Ω] of the cell, and what its slow chemistry adds within a minute
AFTER = 240  # [s] that the logger runs on once the load has let go


def rested(used: float) -> float:
    """Voltage of the cell at rest, once a share of its charge is used; the shape is invented after such cells [V]."""
    fall = 0.42 * used + 0.06 * used**2
    return 4.17 + 0.028 * math.exp(-used / 0.02) - fall - 0.6 * math.exp((used - 1.0) / 0.035)


def discharge() -> str:
    """Discharge of the crumb vacuum's cell by an electronic load, from full to 3.0 V."""
    chance = random.Random("crumb vacuum, discharge")
    level = DRAWN * 1.0021  # the load's own error
    rows = ["time [h:min:s],U [V],I [mA]"]
    used, second, let_go = 0.0, 0, 0
    while True:
        drawn = level if not let_go else 0.0
        volts = rested(used) - drawn * RESISTANCE
        if let_go:
            volts += 0.062 * drawn - 0.05 * math.exp(-(second - let_go) / 45.0)
        elif volts <= OFF_AT:
            let_go, drawn = second, 0.0
        shown = volts + 0.0006 * (chance.random() - 0.5)
        milliamperes = 1000.0 * drawn + (0.4 * (chance.random() - 0.5) if drawn else 0.0)
        rows.append(
            f"{second // 3600}:{second // 60 % 60:02}:{second % 60:02},{shown:.3f},{milliamperes:.1f}"
        )
        if let_go and second - let_go >= AFTER:
            return "\n".join(rows) + "\n"
        used += drawn * EVERY / 3600.0 / (1.0021 * CHARGE / SPENT)
        second += EVERY


SPENT = 1.0016  # share of the charge at which the voltage under load has come down to 3.0 V


def all_logs() -> Mapping[Path, str]:
    """Every file with its text."""
    return {HERE / "crumb-vacuum" / "logs" / "discharge.csv": discharge()}


def main(arguments: Sequence[str] | None = None) -> int:
    """Write the logs; 1 where one would change and only a check was asked for."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--check", action="store_true", help="write nothing")
    check = parser.parse_args(arguments).check
    stale = [
        file for file, text in all_logs().items() if not file.is_file() or file.read_text("utf-8") != text
    ]
    for file in stale:
        if check:
            sys.stderr.write(f"{file} would change\n")
        else:
            file.parent.mkdir(exist_ok=True)
            file.write_text(all_logs()[file], encoding="utf-8")
    return int(check and bool(stale))


if __name__ == "__main__":
    sys.exit(main())
