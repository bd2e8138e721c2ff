"""The summary for the terminal."""

import re

import pytest

from lidoff.report import summary_text
from tests.report.build import bare, fan, hostile


def test_verdict_and_sum_stand_together() -> None:
    assert re.search(
        r"“10 W turbo motor” \(the box, front\): not borne out\n"
        r"  3\.66 V × 553\.3 mA = 2\.03 W ± 0\.1\d W; the box, front, says 10 W\n"
        r"  probability that the claim is true: less than 0\.1 %\n",
        summary_text(fan()),
    )


def test_an_open_claim_says_what_would_tell() -> None:
    text = summary_text(fan())
    assert "“2000 mAh” (the cell's sleeve): cannot tell from these readings\n" in text
    assert "  what would tell: a reading of the charge" in text


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_longer_than_the_terminal(width: int) -> None:
    assert [] == [line for line in summary_text(fan(), width=width).splitlines() if len(line) > width]


def test_titles_come_in_the_order_of_the_report() -> None:
    titles = re.findall(r"(?m)^(.+)\n─+$", summary_text(fan()))
    expected = ["What we found", "Claims", "Misfits", "Findings", "Situations, solved at rest", "Cautions"]
    assert [*expected, "What was not checked"] == titles


def test_an_empty_dossier_still_gets_its_caution() -> None:
    text = summary_text(bare())
    assert text.startswith("a box\n")
    assert "That is not a finding that there is none" in text.replace("\n", " ")


def test_an_invented_device_says_so_at_once() -> None:
    assert "Invented demonstration:" in "\n".join(summary_text(fan()).splitlines()[:5])


def test_no_control_character_reaches_the_terminal() -> None:
    assert [] == re.findall("[\x00-\x09\x0b-\x1f\x7f\u202e]", summary_text(hostile()))


def test_nothing_is_called_safe() -> None:
    assert [] == re.findall(r"(?i)\b(?:un)?safe\b", summary_text(fan()))


def test_no_line_ends_in_a_blank() -> None:
    assert [] == [line for line in summary_text(fan()).splitlines() if line != line.rstrip()]
