import pickle
import tomllib

import jsonschema
from hypothesis import HealthCheck, given, settings

from lidoff.dossier import Dossier, circuit_of, dossier_from_text, dossier_schema, dossier_text, situations_of
from tests.properties.generators import dossiers

SLOW_TO_DRAW = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
VALIDATOR = jsonschema.Draft202012Validator(dossier_schema())


@SLOW_TO_DRAW
@given(dossiers())
def test_what_is_saved_loads_as_it_was(dossier: Dossier) -> None:
    assert dossier == dossier_from_text(dossier_text(dossier))


@SLOW_TO_DRAW
@given(dossiers())
def test_saving_again_changes_nothing(dossier: Dossier) -> None:
    once = dossier_text(dossier)
    assert once == dossier_text(dossier_from_text(once))


@SLOW_TO_DRAW
@given(dossiers())
def test_what_is_saved_fits_the_published_schema(dossier: Dossier) -> None:
    VALIDATOR.validate(tomllib.loads(dossier_text(dossier)))


@SLOW_TO_DRAW
@given(dossiers())
def test_a_dossier_crosses_to_another_process(dossier: Dossier) -> None:
    assert dossier == pickle.loads(pickle.dumps(dossier))


@SLOW_TO_DRAW
@given(dossiers())
def test_every_accepted_dossier_becomes_a_circuit_with_situations(dossier: Dossier) -> None:
    assert len(dossier.parts) == len(circuit_of(dossier).parts)
    assert max(1, len(dossier.situations)) == len(situations_of(dossier))
