import json
from pathlib import Path

import jsonschema
import pytest

from lidoff.dossier import Analysis, analyse, analysis_json, analysis_schema, dossier_schema
from lidoff.dossier.published import dossier_schema_text
from lidoff.quantities import Quantity
from tests.dossier.build import lamp
from tests.dossier.test_analyse import SHORT

ANALYSIS = jsonschema.Draft202012Validator(analysis_schema())
SCHEMA_FILE = Path(__file__).parents[2] / "src" / "lidoff" / "dossier" / "schema" / "dossier.schema.json"


@pytest.fixture(scope="module")
def lit() -> Analysis:
    return analyse(lamp(more=SHORT))


def test_the_document_fits_its_schema(lit: Analysis) -> None:
    ANALYSIS.validate(analysis_json(lit))


def test_the_document_is_plain_json(lit: Analysis) -> None:
    text = json.dumps(analysis_json(lit), allow_nan=False)
    assert json.loads(text) == analysis_json(lit)


def test_uncertainties_are_expanded(lit: Analysis) -> None:
    document = analysis_json(lit)
    assert document["coverage"] == {"k": 2, "level": 0.95}
    (comparison,) = lit.comparisons
    assert document["comparisons"][0]["predicted"]["uncertainty"] == 2 * comparison.predicted.uncertainty  # type: ignore[index]


def test_a_voltage_is_where_the_documentation_says(lit: Analysis) -> None:
    document = json.loads(json.dumps(analysis_json(lit)))
    voltage = document["situations"]["lit"]["nets"]["usb_5v"]["voltage"]
    assert voltage == {"value": 5.02, "unit": "V", "uncertainty": 0.0}
    assert set(document["situations"]["lit"]["parts"]["D1"]) == {"voltage", "current", "power"}
    assert document["situations"]["lit"]["supplies"]["J1"]["power"]["value"] > 0.0


def test_an_unsolved_situation_says_why(lit: Analysis) -> None:
    document = json.loads(json.dumps(analysis_json(lit)))
    assert document["situations"]["both"]["solved"] is False
    assert "loop without any resistance" in document["situations"]["both"]["what"]


def test_the_published_schema_of_the_dossier_is_that_of_the_loader() -> None:
    assert dossier_schema_text() == SCHEMA_FILE.read_text(encoding="utf-8")


@pytest.mark.parametrize("schema", [analysis_schema(), dossier_schema()], ids=["analysis", "dossier"])
def test_the_schemas_are_schemas(schema: dict[str, object]) -> None:
    jsonschema.Draft202012Validator.check_schema(schema)


def test_every_quantity_in_the_document_has_value_unit_and_uncertainty(lit: Analysis) -> None:
    def walk(node: object) -> None:
        if isinstance(node, dict):
            if "uncertainty" in node:
                Quantity(node["value"], node["unit"], node["uncertainty"])
                assert set(node) == {"value", "unit", "uncertainty"}
            for inner in node.values():
                walk(inner)
        elif isinstance(node, list):
            for inner in node:
                walk(inner)

    walk(analysis_json(lit))
