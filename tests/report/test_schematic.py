"""What the report says of voltages that alternate and of supplies that stand for parts."""

from __future__ import annotations

from functools import cache

from lidoff.dossier import Analysis, SolvedSituation, analyse, dossier_from_text
from lidoff.report.sections import operating
from lidoff.report.sections.schematic import drawing_of, most_read, schematic_figures
from tests.dossier.test_stand_ins import DROPPER, with_stand_in
from tests.report.build import texts_of


@cache
def analysed(text: str = DROPPER) -> Analysis:
    return analyse(dossier_from_text(text))


def caption(analysis: Analysis) -> str:
    (figure,) = schematic_figures(analysis, most_read(analysis))
    return figure.caption


def operating_words(analysis: Analysis) -> str:
    (chapter,) = operating.MEMBERS
    return " ".join(texts_of(chapter.build(analysis)))


def test_the_drawing_tells_the_effective_value_of_the_live_net() -> None:
    assert "230 V ac" == drawing_of(analysed()).voltage_text("live")


def test_the_caption_says_that_the_stand_in_is_no_part() -> None:
    assert "V1, dashed, is no part: it stands for J1, C1, D1, D2 on average." in caption(analysed())


def test_the_caption_says_what_ac_means() -> None:
    assert "“ac” marks the effective value of what alternates over a period" in caption(analysed())


def test_a_circuit_at_rest_needs_no_such_words() -> None:
    steady = with_stand_in("connected = 1").replace('kind = "ac_supply"', 'kind = "dc_supply"')
    assert "ac” marks" not in caption(analysed(steady))
    assert "no part" not in caption(analysed(steady))


def test_a_reader_hears_that_the_stand_in_is_no_part() -> None:
    (figure,) = schematic_figures(analysed(), most_read(analysed()))
    assert "six parts on four nets" in figure.alt.lower()
    assert "V1 DC supply (no part, a stand-in)" in figure.alt


def test_operating_points_behind_a_stand_in_are_called_averages() -> None:
    assert "V1 stands for J1, C1, D1, D2 here, so these are averages" in operating_words(analysed())


def test_nets_of_what_is_stood_for_have_no_voltage_at_rest() -> None:
    assert "alternates" in operating_words(analysed())
    (result,) = analysed().situations
    assert isinstance(result, SolvedSituation)
    assert "Nothing fixes the voltage of" not in operating_words(analysed())
