"""Sums of recognised blocks against worked examples; sources and printed digits in data/block_sums.toml."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from lidoff.circuit import Circuit, Part, operating_point
from lidoff.insight import recognise
from lidoff.insight.sketch import piece, sketch

Case = Mapping[str, Any]
CASES: list[Case] = tomllib.loads(
    (Path(__file__).parent / "data" / "block_sums.toml").read_text(encoding="utf-8")
)["case"]


def part_of(line: str) -> Part:
    reference, kind, nets, values = (text.strip() for text in line.split("|"))
    told = dict(pair.split("=") for pair in values.split())
    return piece(reference, kind, nets, **{name: float(number) for name, number in told.items()})


def circuit_of(case: Case) -> Circuit:
    return sketch(case["id"], *(part_of(line) for line in case["parts"]))


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_the_sum_of_the_block_gives_the_printed_digits(case: Case) -> None:
    circuit = circuit_of(case)
    solution = operating_point(circuit) if case.get("solved") else None
    [block] = [one for one in recognise(circuit, solution) if one.kind == case["block"]]
    [found] = [one for one in block.sums if one.says == case["says"]]
    assert case["printed"] == pytest.approx(found.result.value, abs=case["tol"])


def test_every_case_says_where_it_comes_from() -> None:
    assert all(case["source"] and case["read_via"] and case["how"] in ("read", "memory") for case in CASES)
