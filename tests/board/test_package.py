"""Land patterns: a contract for all, and the placing by two clicks."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.board import (
    BACK,
    FRONT,
    all_packages,
    click_span,
    package,
    place_part,
    row_of_pads,
    suggest_parts,
)
from lidoff.board.suggest import BareLand
from lidoff.errors import ImpossibleValue, UnknownName

NAMES = sorted(all_packages())


@pytest.mark.parametrize("name", NAMES)
def test_a_pattern_is_whole(name: str) -> None:
    pattern = package(name)
    assert pattern.source
    assert set(pattern.clicks) <= set(pattern.pins)
    assert all(min(land.size) > 0.0 and land.hole < min(land.size) for land in pattern.lands)
    places = np.array([land.at for land in pattern.lands])
    assert len({tuple(place) for place in places.tolist()}) == len(places)


@pytest.mark.parametrize(
    "family",
    [
        "chip",
        "melf",
        "sod",
        "sot",
        "soic",
        "sop",
        "qfn",
        "dip",
        "axial",
        "radial",
        "to",
        "electrolytic",
        "connector",
        "led",
    ],
)
def test_every_family_of_cheap_boards_is_there(family: str) -> None:
    assert any(pattern.family == family for pattern in all_packages().values())


@settings(max_examples=40, deadline=None)
@given(
    name=st.sampled_from([n for n in NAMES if len(package(n).lands) > 1]),
    turn=st.floats(-180, 180),
    side=st.sampled_from([FRONT, BACK]),
)
def test_two_clicks_put_the_clicked_pins_under_the_clicks(name: str, turn: float, side: str) -> None:
    pattern = package(name)
    span = math.dist(pattern.land(pattern.clicks[0]).at, pattern.land(pattern.clicks[1]).at)
    first = (20.0, 30.0)
    second = (20.0 + span * math.cos(math.radians(turn)), 30.0 + span * math.sin(math.radians(turn)))
    part = place_part(name, reference="X1", side=side, first=first, second=second)
    at = {pad.pin: pad.at for pad in reversed(part.pads)}
    assert at[f"X1.{pattern.clicks[0]}"] == pytest.approx(first, abs=1e-6)
    assert at[f"X1.{pattern.clicks[1]}"] == pytest.approx(second, abs=1e-6)
    assert part.misfit == pytest.approx(0.0, abs=1e-6)


def test_the_back_mirrors_the_order_of_pins() -> None:
    def turning(side: str) -> float:
        part = place_part("SOIC-8", reference="U1", side=side, first=(0.0, 0.0), second=(5.4, 3.81))
        one, two, five = (np.array(part.pads[k].at) for k in (0, 1, 4))
        a, b = two - one, five - one
        return float(a[0] * b[1] - a[1] * b[0])

    assert turning(FRONT) * turning(BACK) < 0


def test_bent_leads_stretch_and_stiff_ones_tell_their_misfit() -> None:
    soft = place_part("AXIAL-SMALL", reference="R1", side=FRONT, first=(0.0, 0.0), second=(10.0, 0.0))
    stiff = place_part("0805", reference="R2", side=FRONT, first=(0.0, 0.0), second=(2.5, 0.0))
    assert soft.misfit == 0.0
    assert stiff.misfit == pytest.approx(0.6)


@pytest.mark.parametrize(("apart", "told"), [(30.0, "30.00"), (9.0, "9.00"), (0.7, "0.70")])
def test_clicks_that_cannot_both_be_on_their_lands_are_refused_with_both_distances(
    apart: float, told: str
) -> None:
    with pytest.raises(ImpossibleValue) as refused:
        place_part("0603", reference="R2", side=FRONT, first=(1.0, 1.0), second=(1.0 + apart, 1.0))
    assert (
        f"R2: the clicks lie {told} mm apart, and pads 1 and 2 of 0603 lie 1.60 mm apart, clicked at 0.75 mm to 2.45 mm"
        == refused.value.what
    )
    assert (
        "click the middles of these two pads, or name the body whose pads lie so far apart"
        == refused.value.remedy
    )


def test_leads_are_bent_no_further_than_they_reach() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"the clicks lie 90\.00 mm apart, and pads 1 and 2 of AXIAL-SMALL"
    ):
        place_part("AXIAL-SMALL", reference="R1", side=FRONT, first=(0.0, 0.0), second=(90.0, 0.0))


@pytest.mark.parametrize("name", NAMES)
def test_clicks_may_lie_anywhere_on_the_lands_along_the_line_between_them(name: str) -> None:
    pattern, span = package(name), click_span(package(name))
    first, second = (pattern.land(pin) for pin in pattern.clicks)
    assert math.dist(first.at, second.at) == pytest.approx(span.own)
    assert span.least <= span.own <= span.most
    if len(pattern.lands) == 2 and not pattern.stretches:
        assert first.size[0] / 2 + second.size[0] / 2 == pytest.approx(span.most - span.own)


def test_an_unknown_package_names_the_nearest() -> None:
    with pytest.raises(UnknownName, match="package 'SOIC8' is not known; did you mean 'SOIC-8'"):
        package("SOIC8")


def test_both_clicks_on_one_place_are_refused() -> None:
    with pytest.raises(ImpossibleValue, match="click pin 1 and then pin 2"):
        place_part("0603", reference="R1", side=FRONT, first=(1.0, 1.0), second=(1.0, 1.0))


def test_a_row_of_pads_is_spread_evenly() -> None:
    part = row_of_pads(
        reference="J1", side=FRONT, first=(0.0, 0.0), last=(7.62, 0.0), count=4, size=(1.7, 1.7), hole=1.0
    )
    assert [0.0, 2.54, 5.08, 7.62] == pytest.approx([pad.at[0] for pad in part.pads if pad.side == FRONT])


@pytest.mark.parametrize("name", ["SOIC-8", "SOT-23", "1206"])
def test_bare_lands_of_a_package_suggest_it(name: str) -> None:
    pattern = package(name)
    lands = [
        BareLand(
            at=(10 + land.at[0], 10 + land.at[1]),
            size=(max(land.size), min(land.size)),
            turn=0.0 if land.size[0] >= land.size[1] else -90.0,
        )
        for land in pattern.lands
    ]
    found = suggest_parts(lands, side=FRONT)
    assert found[0].part.package == name
    assert len(found[0].lands) == len(lands)
