"""A server with an odd dossier in its folder answers every question: with what it is, or with what is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.running import running
from tests.dossier.build import lamp_text


@pytest.mark.parametrize(
    "line",
    [
        "odd = [nan, {a = -inf}]",
        "odd = 2024-01-01",
        "odd = " + "9" * 5_000,
        'odd = "\\u0000"',
        '"" = {"<b>" = 1}',
    ],
)
def test_no_line_of_a_dossier_makes_the_server_fail(tmp_path: Path, line: str) -> None:
    (tmp_path / "dossier.toml").write_text(f"{line}\n{lamp_text()}", encoding="utf-8")
    with running(tmp_path) as server:
        assert server.state()["faults"]
        for path in ("document/dossier.toml", "circuit", "schematic.svg", "exports", "history"):
            answer = server.client.get(f"/api/{path}")
            assert answer.status_code in (200, 422), answer.text
        told = server.client.get("/api/analysis?wait=20000").raise_for_status().json()
        assert "dossier_error" == told["problem"]["code"]
