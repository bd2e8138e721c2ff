"""The API against its own description: whatever is asked, the answer is of the form that was promised, and never a failure."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from lidoff.bench import create_inner_app
from tests.bench.running import KEY, Running, running

API_FILE = Path(__file__).parents[2] / "web" / "src" / "api" / "openapi.json"
SLOW = r"/api/(publish|slips|next-readings|events|report.html|stills.*|exports/.*|boards/.*/trace|waveform)"
"""Left out: they start processes or never end; tests of their own ask them."""
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """Server that may be changed at will."""
    with running(tmp_path_factory.mktemp("asked")) as server:
        yield server


described = json.loads(API_FILE.read_text(encoding="utf-8"))
schema = schemathesis.openapi.from_dict(described).exclude(path_regex=SLOW)


@schema.parametrize()
@settings(
    max_examples=12,
    deadline=None,
    derandomize=True,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
def test_whatever_is_asked_is_answered_as_promised(case: schemathesis.Case[Any], asked: Running) -> None:
    case.call_and_validate(
        base_url=str(asked.client.base_url), headers={"x-bench-key": KEY}, checks=CHECKS, timeout=30.0
    )


def test_the_description_that_the_pages_are_made_from_is_current(shared: Running) -> None:
    assert described == create_inner_app(shared.bench).openapi(), "run: python scripts/write_bench_api.py"
