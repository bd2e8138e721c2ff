"""Pieces, polygons, links, nets, beeps and probes."""

import itertools
from dataclasses import replace

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from lidoff.board import (
    BACK,
    BARE,
    CUT,
    FRONT,
    LAMINATE,
    Beep,
    Hole,
    Link,
    Pad,
    Stroke,
    Wire,
    board_from_layout,
    board_links,
    board_nets,
    contradictions,
    doubtful_necks,
    island_polygons,
    least_changes,
    nets_from_links,
    next_steps,
    piece_polygons,
    pieces_from_polygons,
    pieces_of,
    probe_plan,
    with_changes,
)
from lidoff.errors import UnknownName
from tests.board.build import copper_from, night_lamp_layout


def two_bars(neck: float):  # type: ignore[no-untyped-def]
    """Two sure bars with a neck of one probability between them."""
    mask = np.zeros((30, 60), bool)
    mask[10:20, 5:25] = True
    mask[10:20, 35:55] = True
    copper = copper_from(mask)
    probability = copper.probability.copy()
    probability[12:18, 25:35] = neck
    mask = probability > 0.5
    return copper.__class__(
        side=FRONT,
        px_per_mm=10.0,
        probability=probability,
        mask=mask,
        classes=copper.classes,
        fixed=copper.fixed,
    )


@pytest.mark.parametrize("neck", [0.35, 0.62])
def test_a_doubtful_neck_is_listed_with_its_place(neck: float) -> None:
    (join,) = doubtful_necks(pieces_of(two_bars(neck)))
    assert join.probability == pytest.approx(neck, abs=0.01)
    assert 2.4 <= join.at[0] <= 3.6


def test_a_sure_neck_is_no_join_at_all() -> None:
    assert pieces_of(two_bars(0.95)).count == 1


def test_polygons_keep_the_area_within_half_a_pixel_of_the_rim() -> None:
    rows, columns = np.indices((120, 120))
    mask = np.hypot(rows - 60, columns - 60) < 45
    mask &= np.hypot(rows - 60, columns - 60) > 20
    (island,) = island_polygons(pieces_of(copper_from(mask)))
    assert island.area == pytest.approx(np.pi * (4.5**2 - 2.0**2), abs=0.5 * 0.1 * 2 * np.pi * 6.5)
    assert len(island.openings) == 1


def test_pieces_come_back_from_their_polygons() -> None:
    pieces = pieces_of(two_bars(0.62))
    again = pieces_from_polygons(FRONT, piece_polygons(pieces), pieces.joins, px_per_mm=10.0, size=(6.0, 3.0))
    assert np.mean(pieces.labels == again.labels) > 0.97


def test_a_plated_hole_joins_the_sides_and_an_unplated_one_does_not() -> None:
    mask = np.zeros((40, 40), bool)
    mask[10:30, 10:30] = True
    mask[18:22, 18:22] = False
    pieces = {side: pieces_of(copper_from(mask, side=side)) for side in (FRONT, BACK)}
    pads = [
        Pad(side=side, net="", at=(1.3, 1.3), size=(0.4, 0.4), pin=f"{side[0]}.1") for side in (FRONT, BACK)
    ]
    for plated, expected in ((True, 1), (False, 2)):
        links = board_links(pieces, pads=pads, holes=[Hole(at=(2.0, 2.0), diameter=0.4, plated=plated)])
        assert expected == len([net for net in nets_from_links(links).nets if net.pins])


def test_the_chain_proves_what_joins_two_pins() -> None:
    board = board_from_layout(night_lamp_layout(), "lamp")
    nets = board_nets(board)
    chain = nets.chain("R1.2", "D1.A")
    nodes = nx.Graph((link.first, link.second) for link in chain)
    assert nx.has_path(nodes, "R1.2", "D1.A")
    assert nets.chain("R1.2", "J1.3") == ()


def test_a_wire_joins_nets() -> None:
    links = board_links({}, wires=[Wire(first="J1.1", second="BT1.+")])
    assert ("BT1.+", "J1.1") == nets_from_links(links).nets[0].pins


def test_an_unknown_pin_is_refused_with_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r"nothing on the board is called 'R1\.3'; did you mean"):
        board_nets(board_from_layout(night_lamp_layout(), "lamp")).net_of("R1.3")


def link(first: str, second: str, probability: float, at: float = 0.0) -> Link:
    return Link(first=first, second=second, kind="copper", probability=probability, side=FRONT, at=(at, 0.0))


def test_a_beep_against_a_chain_names_its_weakest_link() -> None:
    links = [
        link("A.1", "front:1", 0.99),
        link("front:1", "front:2", 0.6, at=4.0),
        link("front:2", "B.1", 0.99),
    ]
    (found,) = contradictions(links, [Beep(first="A.1", second="B.1", joined=False)])
    assert found.at == (4.0, 0.0)
    assert len(found.chain) == 3


def test_a_beep_across_a_gap_names_the_gap() -> None:
    links = [
        link("A.1", "front:1", 0.99),
        link("front:1", "front:2", 0.3, at=4.0),
        link("front:2", "B.1", 0.99),
    ]
    (found,) = contradictions(links, [Beep(first="A.1", second="B.1", joined=True)])
    assert [item.probability for item in found.chain] == [0.3]


def holds(links: list[Link] | tuple[Link, ...], beeps: list[Beep]) -> bool:
    graph = nx.Graph((item.first, item.second) for item in links if item.made)
    graph.add_nodes_from(node for beep in beeps for node in (beep.first, beep.second))
    return all(nx.has_path(graph, beep.first, beep.second) == beep.joined for beep in beeps)


def test_one_change_that_explains_two_beeps_is_preferred() -> None:
    links = [link("a.1", "b.1", 0.7), link("b.1", "c.1", 0.75), link("c.1", "d.1", 0.7)]
    beeps = [Beep(first="a.1", second="c.1", joined=False), Beep(first="b.1", second="d.1", joined=False)]
    found = least_changes(links, beeps)
    assert [(change.link.first, change.made) for change in found.changes] == [("b.1", False)]


def test_a_beep_that_nothing_explains_is_told() -> None:
    beep = Beep(first="a.1", second="b.1", joined=True)
    assert least_changes([link("a.1", "c.1", 0.9)], [beep]).unexplained == (beep,)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_the_least_changes_are_as_cheap_as_trying_them_all(seed: int) -> None:
    rng = np.random.default_rng(seed)
    pairs = list(itertools.combinations("abcde", 2))
    chosen = [pairs[i] for i in rng.choice(len(pairs), 6, replace=False)]
    links = [
        link(f"{a}.1", f"{b}.1", float(rng.uniform(0.1, 0.9)), at=float(n)) for n, (a, b) in enumerate(chosen)
    ]
    wanted = [bool(rng.random() < 0.5) for _ in links]
    true = nx.Graph((item.first, item.second) for item, made in zip(links, wanted, strict=True) if made)
    true.add_nodes_from(f"{letter}.1" for letter in "abcde")
    beeps = [
        Beep(first=f"{a}.1", second=f"{b}.1", joined=nx.has_path(true, f"{a}.1", f"{b}.1"))
        for a, b in [("a", "b"), ("c", "d"), ("a", "e")]
    ]
    found = least_changes(links, beeps)
    assert holds(with_changes(links, found), beeps)

    def cost(flips: tuple[bool, ...]) -> float:
        odds = [abs(np.log(item.probability / (1 - item.probability))) for item in links]
        return float(sum(max(o, 0.01) for o, flip in zip(odds, flips, strict=True) if flip))

    def flipped(flips: tuple[bool, ...]) -> list[Link]:
        return [
            link(item.first, item.second, 1.0 if item.made != flip else 0.0)
            for item, flip in zip(links, flips, strict=True)
        ]

    best = min(
        cost(flips) for flips in itertools.product((False, True), repeat=6) if holds(flipped(flips), beeps)
    )
    mine = cost(tuple(item in [change.link for change in found.changes] for item in links))
    assert mine == pytest.approx(best, abs=1e-6)


def test_one_probe_settles_a_chain_of_doubtful_links() -> None:
    links = [link("a.1", "b.1", 0.6), link("b.1", "c.1", 0.6), link("c.1", "d.1", 0.6)]
    plan = probe_plan(links, {f"{n}.1": (float(i), 0.0) for i, n in enumerate("abcd")})
    assert [("a.1", "d.1", 3)] == [(p.first, p.second, len(p.settles)) for p in plan.probes]


def test_a_star_of_five_ends_needs_three_probes_that_settle_all() -> None:
    links = [link("hub.1", f"{n}.1", 0.6) for n in "abcde"]
    places = {f"{n}.1": (float(i), 0.0) for i, n in enumerate("abcde")} | {"hub.1": (2.0, 5.0)}
    plan = probe_plan(links, places)
    assert len(plan.probes) == 3
    assert {item.second for probe in plan.probes for item in probe.settles} == {f"{n}.1" for n in "abcde"}


def test_nothing_doubtful_asks_for_no_probe() -> None:
    assert probe_plan([link("a.1", "b.1", 0.99)], {"a.1": (0.0, 0.0), "b.1": (1.0, 0.0)}).probes == ()


def test_a_beep_against_the_board_comes_with_its_place_and_the_least_change() -> None:
    board = board_from_layout(night_lamp_layout(), "lamp")
    nets: dict[str, list[str]] = {}
    for pad in night_lamp_layout().pads:
        if pad.pin and pad.net:
            nets.setdefault(pad.net, []).append(pad.pin)
    joined = next(sorted(set(pins)) for pins in nets.values() if len(set(pins)) > 1)
    lines = next_steps(replace(board, beeps=(Beep(first=joined[0], second=joined[1], joined=False),)))
    assert f"against the trace, {joined[0]} and {joined[1]} do not beep" in lines[0]
    assert any(line.startswith(("least change: part", "nothing doubtful explains")) for line in lines[1:])


def test_a_beep_across_bare_board_is_told_without_a_place() -> None:
    board = board_from_layout(night_lamp_layout(), "lamp")
    first, second = next(
        (one.pin, other.pin)
        for one in night_lamp_layout().pads
        for other in night_lamp_layout().pads
        if one.pin and other.pin and one.net != other.net
    )
    lines = next_steps(replace(board, beeps=(Beep(first=first, second=second, joined=True),)))
    assert f"against the trace, {first} and {second} beep: no copper is seen between them" in lines


@pytest.mark.parametrize(
    ("shown", "missing"), [(LAMINATE, "middle of a track"), (BARE, "bare laminate"), (CUT, "")]
)
def test_strokes_of_one_kind_alone_ask_for_the_other(shown: str, missing: str) -> None:
    board = board_from_layout(night_lamp_layout(), "lamp")
    stroke = Stroke(says=shown, points=((1.0, 1.0), (3.0, 1.0)), width=0.2)
    front, *others = board.sides
    lines = next_steps(replace(board, sides=(replace(front, strokes=(stroke,)), *others)))
    assert [missing in line for line in lines] == ([True] if missing else [])
    other = Stroke(says=BARE if shown == LAMINATE else LAMINATE, points=stroke.points, width=0.2)
    if missing:
        both = replace(board, sides=(replace(front, strokes=(stroke, other)), *others))
        assert next_steps(both) == ()


def test_a_board_without_doubt_asks_for_nothing() -> None:
    assert () == next_steps(board_from_layout(night_lamp_layout(), "lamp"))


def test_what_shines_in_a_drill_is_not_the_copper_of_its_hole() -> None:
    mask = np.zeros((40, 40), bool)
    mask[10:30, 10:30] = True
    rows, columns = np.indices(mask.shape)
    apart = np.hypot(rows - 19.5, columns - 19.5)
    mask &= apart > 6.0  # a wide gap, so that the ring of the hole holds less copper than its inside
    pieces = {FRONT: pieces_of(copper_from(mask | (apart < 4.0)))}
    (link,) = board_links(pieces, holes=[Hole(at=(2.0, 2.0), diameter=1.0, plated=True)])
    assert link.second == f"{FRONT}:{pieces[FRONT].labels[12, 12]}"


def test_a_hole_filled_with_solder_is_linked_to_what_fills_it() -> None:
    rows, columns = np.indices((40, 40))
    filling = np.hypot(rows - 19.5, columns - 19.5) < 4.0
    pieces = {FRONT: pieces_of(copper_from(filling))}
    links = board_links(pieces, holes=[Hole(at=(2.0, 2.0), diameter=1.0, plated=True)])
    assert [one.second for one in links] == [f"{FRONT}:{pieces[FRONT].labels[20, 20]}"]
