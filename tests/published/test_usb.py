"""Currents of USB sources as gathered by others, each with its source in data/usb.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from lidoff.errors import UnknownName
from lidoff.evidence import BorneOut, Claim, FromSolution, FromStatement, NotBorneOut, judge
from lidoff.quantities import Quantity

ROWS = tomllib.loads((Path(__file__).parent / "data" / "usb.toml").read_text(encoding="utf-8"))["source"]


def unsolved(source: FromSolution) -> Quantity:
    raise UnknownName(f"no circuit tells the {source.target}")


@pytest.mark.parametrize("row", [pytest.param(row, id=row["word"]) for row in ROWS])
@pytest.mark.parametrize(("share", "verdict"), [(0.98, BorneOut), (1.02, NotBorneOut)])
def test_a_draw_is_held_against_what_the_source_must_give(
    row: dict[str, Any], share: float, verdict: type[BorneOut | NotBorneOut]
) -> None:
    drawn = FromStatement(value=f"{share * row['amperes']} A ± {0.005 * row['amperes']} A", why="read")
    claim = Claim(
        name="port", kind="usb_draw", says=row["word"], value=row["word"], inputs={"current": drawn}
    )
    assert isinstance(judge(claim, {}, unsolved).verdict, verdict)
