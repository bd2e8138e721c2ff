"""The summary for the terminal."""

import re

import pytest

from lidoff.dossier import analyse, dossier_from_text
from lidoff.report import summary_text
from tests.dossier.build import lamp, lamp_text
from tests.report.build import bare, fan, hostile

APART = """
[parts.B9]
kind = "cell"
pins = { plus = "x", minus = "y" }

[parts.R9]
kind = "resistor"
value = "1 kΩ"
pins = { 1 = "x", 2 = "y" }
"""


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


def test_a_claim_that_is_only_noted_leaves_no_line_empty() -> None:
    splashes = '\n[claims.splashes]\nsays = "IPX4"\nkind = "ingress_mark"\nvalue = "IPX4"\n'
    text = summary_text(analyse(lamp(more=splashes)))
    assert re.search(r"“IPX4”.*: noted, not judged\n(  .+\n)+\n\S", text)


@pytest.mark.parametrize("width", [60, 80, 100])
def test_no_line_is_longer_than_the_terminal(width: int) -> None:
    assert [] == [line for line in summary_text(fan(), width=width).splitlines() if len(line) > width]


def test_titles_come_in_the_order_of_the_report() -> None:
    titles = re.findall(r"(?m)^(.+)\n─+$", summary_text(fan()))
    expected = ["What we found", "Claims", "Misfits", "Findings", "Situations, as solved", "Cautions"]
    assert [*expected, "What was not checked"] == titles


def apart(*readings: str) -> str:
    """Summary of a lamp beside which a cell and a resistor stand alone, with some readings, in one line."""
    more = "".join(
        f'\n[readings.r{number}]\nsituation = "lit"\n{target}\nshown = "1.00 V ± 0.02 V"\n'
        for number, target in enumerate(readings)
    )
    return " ".join(summary_text(analyse(lamp(more=APART + more))).split())


def test_readings_that_could_not_be_compared_are_counted_and_say_why() -> None:
    told = apart('voltage = "x"', 'voltage = "x"\nagainst = "usb_5v"')
    assert "the one reading compared with it; two more could not be compared." in told
    assert "- R0: 'x' and 'gnd' are in islands that nothing joins. - R1: 'x' and 'usb_5v' are in" in told


def test_a_piece_with_no_way_to_the_ground_is_told_with_its_place() -> None:
    assert "Caution: No way to the ground: x, y Nothing joins B9, R9 to the rest of the circuit" in apart()


def test_where_no_reading_can_be_compared_that_is_said_first() -> None:
    text = lamp_text(('voltage = "led_plus"', 'voltage = "x"'), more=APART)
    told = " ".join(summary_text(analyse(dossier_from_text(text))).split())
    assert "The one reading in the circuit could not be compared with it." in told


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
