"""A package of others adds a kind of part, a block, a kind of claim and a check by its entry points alone."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent / "outside"
PLATE = """
[device]
title = "Cup warmer (invented)"

[situations.on]
set = {}

[readings.plate]
situation = "on"
quantity = "temperature of the plate"
shown = "48 °C ± 2 °C"

[claims.warm]
kind = "plate_temperature"
says = "keeps cups at 55 °C"
value = "55 °C"
from = { temperature = "plate" }

[parts.V1]
kind = "dc_supply"
value = "12 V"
pins = { plus = "vcc", minus = "gnd" }

[parts.S1]
kind = "bimetal_switch"
value = "85 °C"
pins = { 1 = "vcc", 2 = "hot" }

[parts.R1]
kind = "resistor"
value = "10 Ω"
pins = { 1 = "hot", 2 = "gnd" }
"""
TELL = """
import sys
from lidoff.dossier import analyse, dossier_from_text
analysis = analyse(dossier_from_text(open(sys.argv[1], encoding="utf-8").read()))
print(analysis.solution.current("R1")[0])
print([block.kind for block in analysis.blocks])
print([result.verdict.words for result in analysis.claims])
print([hazard.check for hazard in analysis.hazards if hazard.outcome == "beyond the limit"])
"""


@pytest.fixture
def installed(tmp_path: Path) -> Path:
    """The package as an installer would lay it down, with its entry points."""
    table = tomllib.loads((PACKAGE / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    info = tmp_path / "site" / f"{table['name'].replace('-', '_')}-{table['version']}.dist-info"
    info.mkdir(parents=True)
    (info / "METADATA").write_text(
        f"Metadata-Version: 2.1\nName: {table['name']}\nVersion: {table['version']}\n", encoding="utf-8"
    )
    lines: list[str] = []
    for group, points in table["entry-points"].items():
        lines.extend((f"[{group}]", *(f"{name} = {value}" for name, value in points.items())))
    (info / "entry_points.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    (tmp_path / "site" / "lidoff_bimetal").symlink_to(PACKAGE / "lidoff_bimetal")
    return tmp_path / "site"


def test_all_four_families_take_it_in(installed: Path, tmp_path: Path) -> None:
    dossier = tmp_path / "dossier.toml"
    dossier.write_text(PLATE, encoding="utf-8")

    told = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(installed)!r})\n{TELL}", str(dossier)],
        capture_output=True,
        text=True,
        check=False,
    )

    assert told.returncode == 0, told.stderr
    current, blocks, verdicts, hazards = told.stdout.splitlines()
    assert float(current) == pytest.approx(12.0 / 10.02, rel=1e-6)
    assert "bimetal_heater" in blocks
    assert verdicts == "['not borne out']"
    assert "welded_thermostat" in hazards
