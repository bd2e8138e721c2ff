"""The examples in the documentation are read as they stand."""

import json
import re
import tomllib
from pathlib import Path

import pytest

from lidoff.dossier.forms import shape_faults
from lidoff.dossier.tables import DOSSIER

DOCS = Path(__file__).parents[2] / "docs"
EXAMPLES = [
    pytest.param(example, id=f"{page} {number}")
    for page in ("dossier-format.md", "evidence.md", "logs.md")
    for number, example in enumerate(
        re.findall(r"```toml\n(.*?)```", (DOCS / page).read_text(encoding="utf-8"), re.DOTALL), start=1
    )
]


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_has_the_form_of_a_dossier(example: str) -> None:
    document = {"format": 2, "device": {"title": "x"}, **tomllib.loads(example)}
    assert [] == list(shape_faults(document, DOSSIER))


def test_there_are_examples() -> None:
    assert len(EXAMPLES) >= 4


def test_the_example_of_the_analysis_names_only_keys_that_there_are() -> None:
    page = (DOCS / "analysis-json.md").read_text(encoding="utf-8")
    example = re.findall(r"```json\n(.*?)```", page, re.DOTALL)[0]
    document = json.loads(example.replace("{…}", "{}"))
    schema = json.loads(
        (DOCS.parent / "src" / "lidoff" / "dossier" / "schema" / "analysis.schema.json").read_text("utf-8")
    )
    assert set(schema["properties"]) == set(document)
