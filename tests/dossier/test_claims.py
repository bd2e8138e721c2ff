"""Claims of a dossier whose value is a word or whose ground is a trial."""

import pytest

from lidoff.dossier import analyse, analysis_json, dossier_from_text, dossier_text
from lidoff.errors import DossierError
from lidoff.evidence import ClaimResult, FromTrial
from tests.dossier.build import lamp, lamp_text

CATCHES = """
[trials.flies]
what = "ten flies in a tent for an hour"
seen = "one caught"
worked = "1 of 10"

[claims.catches]
kind = "success_rate"
says = "catches every insect"
value = "90 %"
from = { tries = { trial = "flies" } }
trials = ["flies"]
"""
PORT = """
[claims.port]
kind = "usb_draw"
says = "for every USB port"
value = "usb 2.0"
from = { current = { value = "640 mA ± 10 mA", why = "read elsewhere" } }
"""
MARK = """
[claims.splash]
kind = "ingress_mark"
says = "splash proof"
value = "IPX4"
"""


def result_of(more: str, name: str) -> ClaimResult:
    return next(one for one in analyse(lamp(more=more)).claims if one.claim.name == name)


def fault_of(more: str) -> str:
    with pytest.raises(DossierError) as caught:
        dossier_from_text(lamp_text(more=more))
    assert not caught.value.faults, str(caught.value)
    return str(caught.value)


def test_a_share_of_tries_is_judged_and_its_trial_told_beside_it() -> None:
    result = result_of(CATCHES, "catches")
    # Beta(2, 10): mean 1/6; at least 90 % has next to no probability.
    assert result.found is not None
    assert result.found.value == pytest.approx(1 / 6, abs=0.001)
    assert result.sum == "1 of 10 tries worked, which makes 17 % ± 21 %; the box says 90 %"
    assert result.verdict.words == "not borne out"
    assert [trial.seen for trial in result.trials] == ["one caught"]


def test_a_word_is_judged_by_what_it_stands_for() -> None:
    result = result_of(PORT, "port")
    assert (None, 0.5) == (result.low, result.high)
    assert result.printed == "usb 2.0 (at most 500 mA)"
    assert result.verdict.words == "not borne out"


def test_a_mark_is_noted_and_not_judged() -> None:
    result = result_of(MARK, "splash")
    assert result.verdict.words == "noted, not judged"
    assert "splashes from any side do no harm" in result.sum


@pytest.mark.parametrize("more", [CATCHES, PORT, MARK])
def test_such_claims_are_saved_as_they_were(more: str) -> None:
    dossier = lamp(more=more)
    assert dossier_from_text(dossier_text(dossier)) == dossier


def test_an_input_from_a_trial_is_one() -> None:
    claims = {claim.name: claim for claim in lamp(more=CATCHES).claims}
    assert claims["catches"].inputs == {"tries": FromTrial(trial="flies")}


def test_what_is_published_names_words_and_trials() -> None:
    listed = analysis_json(analyse(lamp(more=CATCHES + PORT)))["claims"]
    assert isinstance(listed, list)
    claims = {one["name"]: one for one in listed}
    assert claims["catches"]["trials"] == ["flies"]
    assert claims["port"]["claimed"] is None
    assert claims["port"]["printed"] == "usb 2.0 (at most 500 mA)"


def test_tries_that_cannot_be_counted_are_refused() -> None:
    told = fault_of(
        CATCHES.replace("1 of 10", "mostly").replace('from = { tries = { trial = "flies" } }\n', "")
    )
    assert "the trial 'flies' tells 'mostly'" in told
    assert 'write worked = "9 of 10"' in told


def test_a_trial_that_does_not_count_is_no_ground_for_a_share() -> None:
    told = fault_of(CATCHES.replace('worked = "1 of 10"\n', ""))
    assert "the trial 'flies' does not tell how often it worked" in told
    assert "claims.catches.from.tries.trial" in told


def test_an_unknown_trial_is_told() -> None:
    told = fault_of(CATCHES.replace('trials = ["flies"]', 'trials = ["fliez"]'))
    assert "there is no trial 'fliez'" in told
    assert "did you mean 'flies'" in told


def test_an_unknown_word_suggests_the_nearest_or_a_value() -> None:
    told = fault_of(PORT.replace("usb 2.0", "USB two"))
    assert "claims.port.value" in told
