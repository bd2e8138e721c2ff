"""Charts: what stands where, for a page and for paper, wide and narrow."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from numpy.typing import NDArray
from skimage.color import deltaE_ciede2000, rgb2lab

from lidoff.evidence import NetVoltage, Reading, compare, measure
from lidoff.fonts import text_width
from lidoff.quantities import Quantity
from lidoff.report import claims_chart, fits_chart
from lidoff.report.boardpaint import FOUND
from lidoff.report.budgetchart import budget_svg
from lidoff.report.paint import PAPER, STILL_DARK, STILL_LIGHT, Paint, fitted, lines_of
from tests.report.build import bare, fan, hostile

SVG = "{http://www.w3.org/2000/svg}"


def texts(svg: str) -> list[str]:
    return ["".join(element.itertext()) for element in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def claims(of: str = "wide") -> str:
    picture = claims_chart(fan().claims)
    assert picture is not None
    return str(getattr(picture, of))


@pytest.mark.parametrize("of", ["wide", "narrow", "paper"])
def test_every_claim_with_a_found_value_is_shown(of: str) -> None:
    said = " ".join(texts(claims(of)))
    for words in ("“10 W turbo motor”", "“only 120 g”", "“4 LEDs”", "2.03 W ± 0.1", "as printed"):
        assert words in said


def test_a_claim_that_nothing_was_found_for_is_left_to_the_table() -> None:
    assert "2000 mAh" not in " ".join(texts(claims()))


def test_without_claims_there_is_no_chart() -> None:
    assert claims_chart(bare().claims) is None
    assert fits_chart(bare().comparisons) is None


def test_the_printed_values_stand_under_one_another_and_the_found_ones_to_scale() -> None:
    picture = claims_chart(fan().claims[:1])
    assert picture is not None
    zero, printed = (float(x) for x in re.findall(r'<text x="([\d.]+)" y="14"', picture.wide))
    cross = re.search(r'<path d="M([\d.]+) [\d.]+L([\d.]+) [\d.]+M', picture.wide)
    assert cross is not None
    found = (float(cross[1]) + float(cross[2])) / 2
    result = fan().claims[0]
    assert result.found is not None
    assert result.found.value / 10.0 == pytest.approx((found - zero) / (printed - zero), abs=1e-3)


def test_verdicts_are_told_apart_by_shape() -> None:
    picture = claims_chart(fan().claims)
    assert picture is not None
    root = ElementTree.fromstring(picture.wide)
    discs = [c for c in root.iter(f"{SVG}circle") if "stroke:" not in str(c.get("style"))]
    rings = [c for c in root.iter(f"{SVG}circle") if "stroke:" in str(c.get("style"))]
    crosses = [p for p in root.iter(f"{SVG}path") if str(p.get("d")).count("M") == 2]
    assert (2 + 1, 1, 1) == (
        len(discs),
        len(rings),
        len(crosses),
    )  # one disc clears the ground under the cross


def test_colours_on_paper_are_written_out_and_in_a_page_left_to_its_style() -> None:
    assert "var(--" not in claims("paper")
    assert [] == re.findall(r"#[0-9a-f]{6}", claims("wide"))


@pytest.mark.parametrize("of", ["wide", "narrow"])
def test_no_text_runs_over_the_edge(of: str) -> None:
    root = ElementTree.fromstring(claims(of))
    width = float(str(root.get("width")))
    for element in root.iter(f"{SVG}text"):
        room = text_width("".join(element.itertext()), float(str(element.get("font-size"))))
        start = float(str(element.get("x"))) - (room / 2 if element.get("text-anchor") == "middle" else 0.0)
        assert -4.0 <= start
        assert start + room <= width + 4.0


def test_every_comparison_has_its_line() -> None:
    picture = fits_chart(fan().comparisons)
    assert picture is not None
    said = texts(picture.wide)
    assert "+9.9 u" in said
    assert {one.reading.replace("_", " ") for one in fan().comparisons} <= set(said)


def test_what_lies_beyond_the_scale_is_held_at_its_edge() -> None:
    def place(predicted: float) -> float:
        read = measure(Reading(name="r", target=NetVoltage(net="out"), shown=("1 V ± 0.02 V",)), {})
        picture = fits_chart((compare(read, Quantity(predicted, "V")),))
        assert picture is not None
        cross = re.search(r'<path d="M([\d.]+) [\d.]+L([\d.]+) [\d.]+M', picture.wide)
        assert cross is not None
        return (float(cross[1]) + float(cross[2])) / 2

    assert place(2.0) == place(5.0)
    assert place(1.04) < place(2.0)


def test_hostile_texts_leave_a_chart_well_formed() -> None:
    picture = claims_chart(hostile().claims)
    assert picture is not None
    assert "onload=alert(5)>”" in texts(picture.wide)


def test_a_text_that_does_not_fit_is_cut_with_an_ellipsis() -> None:
    cut = fitted("a very long claim about a very small fan", 60.0, 14.0)
    assert cut.endswith("…")
    assert text_width(cut, 14.0) <= 60.0


def test_a_text_is_cut_after_a_whole_word() -> None:
    assert "a very long claim…" == fitted("a very long claim, about a very small fan", 130.0, 14.0)


def test_a_single_word_that_does_not_fit_is_cut_within() -> None:
    cut = fitted("Donaudampfschifffahrtsgesellschaft", 60.0, 14.0)
    assert cut.startswith("Dona")
    assert cut.endswith("…")


@pytest.mark.parametrize("paint", [PAPER, STILL_DARK])
def test_what_a_step_of_a_budget_takes_is_told_whole(paint: Paint) -> None:
    whole = fan().budgets[0]
    budget = replace(whole, steps=(replace(whole.steps[0], volts=Quantity(11.9, "V", 0.05), share=1.0),))
    svg, _, _ = budget_svg(budget, paint)
    assert "…" not in svg
    assert "99.9\N{NO-BREAK SPACE}%)" in svg


def test_a_long_claim_is_broken_between_words() -> None:
    assert ["up to 4 hours", "on one charge"] == lines_of("up to 4 hours on one charge", 100.0, 14.0)


DICHROMACY: dict[str, list[list[float]]] = {
    # G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15(6), 2009, severity 1 (from memory).
    "no red cones": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
    "no green cones": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]],
    "no blue cones": [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]],
    "all cones": [[1, 0, 0], [0, 1, 0], [0, 0, 1]],
}  # fmt: skip


@pytest.mark.parametrize("sight", DICHROMACY)
@pytest.mark.parametrize("paint", [PAPER, STILL_LIGHT, STILL_DARK], ids=["paper", "light", "dark"])
def test_colours_that_mean_different_things_stay_apart(paint: Paint, sight: str) -> None:
    pairs = {
        "verdicts": (paint.borne_out, paint.not_borne_out),
        "budget": (paint.supply, paint.borne_out),
        "copper of front and back": (FOUND, paint.supply),
    }
    seen = {name: [_lab(colour, DICHROMACY[sight]) for colour in pair] for name, pair in pairs.items()}
    # A difference of 10 in CIEDE2000 is plain at a glance, common practice, no source.
    assert {} == {name: d for name, (a, b) in seen.items() if (d := float(deltaE_ciede2000(a, b))) < 10.0}


def _lab(colour: str, matrix: list[list[float]]) -> NDArray[np.float64]:
    """CIELAB of a colour as it is seen."""
    encoded = np.array([int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)])
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    seen = np.clip(np.array(matrix) @ linear, 0.0, 1.0)
    back = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
    return np.asarray(rgb2lab(back), dtype=float)
