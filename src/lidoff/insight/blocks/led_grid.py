"""Light-emitting diodes on shared lines: in rows and columns, or between every two of a few pins."""

from __future__ import annotations

from collections.abc import Iterable

import networkx

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Sums
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import PRACTICE
from lidoff.insight.view import PlacedPart, View

__all__ = ["MEMBERS"]


def _rows_example() -> Circuit:
    return sketch(
        "Four LEDs on two rows and two columns",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", a="output row_1", b="output row_2",
             c="output pin_3", d="output pin_4"),
        piece("R1", "resistor", "pin_3 column_1", resistance=100.0),
        piece("R2", "resistor", "pin_4 column_2", resistance=100.0),
        *(
            piece(f"D{number}", "led", f"row_{row} column_{column}")
            for number, (row, column) in enumerate(((1, 1), (1, 2), (2, 1), (2, 2)), start=1)
        ),
    )  # fmt: skip


def _pairs_example() -> Circuit:
    return sketch(
        "Six LEDs on three pins",
        piece("BT1", "cell", "vbat gnd"),
        chip(
            "U1",
            supply="supply vbat",
            ground="ground gnd",
            a="output pin_a",
            b="output pin_b",
            c="output pin_c",
        ),
        piece("R1", "resistor", "pin_a a", resistance=100.0),
        piece("R2", "resistor", "pin_b b", resistance=100.0),
        piece("R3", "resistor", "pin_c c", resistance=100.0),
        *(
            piece(f"D{number}", "led", nets)
            for number, nets in enumerate(("a b", "b a", "a c", "c a", "b c", "c b"), start=1)
        ),
    )


def _line_resistors(view: View, nets: Iterable[str]) -> tuple[PlacedPart, ...]:
    """Resistors that lead from the lines of a grid to what drives them."""
    lines = set(nets)
    found = {}
    for net in lines:
        for one, _ in view.pins[net]:
            if one.kind == "resistor" and len({*one.nets.values()} & lines) == 1:
                other = next(far for far in one.nets.values() if far != net)
                if other not in view.rails and view.is_driven(other):
                    found[one.reference] = one
    return tuple(found[reference] for reference in sorted(found))


def _grids(view: View) -> list[tuple[PlacedPart, ...]]:
    """LEDs that hang together through nets which are no rails."""
    graph = networkx.Graph()
    leds = [one for one in view.by_kind.get("led", ()) if not set(one.nets.values()) & view.rails]
    graph.add_edges_from((one.nets["anode"], one.nets["cathode"]) for one in leds)
    return [
        tuple(one for one in leds if one.nets["anode"] in nets)
        for nets in networkx.connected_components(graph)
    ]


def _match(view: View, leds: tuple[PlacedPart, ...], nets: dict[str, str]) -> Match:
    lines = {net for one in leds for net in one.nets.values()}
    resistors = _line_resistors(view, lines)
    return Match(
        view=view,
        roles={"led": leds, "resistor": resistors},
        nets=nets,
        required=frozenset(one.reference for one in (*leds, *resistors)),
    )


def _rows(view: View) -> tuple[Match, ...]:
    found = []
    for leds in _grids(view):
        anodes = sorted({one.nets["anode"] for one in leds})
        cathodes = sorted({one.nets["cathode"] for one in leds})
        if set(anodes) & set(cathodes) or len(anodes) < 2 or len(cathodes) < 2 or len(leds) < 4:
            continue
        nets = {f"row_{n}": net for n, net in enumerate(anodes, start=1)}
        found.append(
            _match(view, leds, nets | {f"column_{n}": net for n, net in enumerate(cathodes, start=1)})
        )
    return tuple(found)


def _pairs(view: View) -> tuple[Match, ...]:
    found = []
    for leds in _grids(view):
        ways = {(one.nets["anode"], one.nets["cathode"]) for one in leds}
        both = {way for way in ways if way[::-1] in ways}
        lines = sorted({net for way in ways for net in way})
        match = _match(view, leds, {f"line_{n}": net for n, net in enumerate(lines, start=1)})
        reached = {net for one in match.roles["resistor"] for net in one.nets.values()}
        if both and 2 * len(both) > len(ways) and all(view.is_driven(net) or net in reached for net in lines):
            found.append(match)
    return tuple(found)


def _row_sums(m: Match) -> Sums:
    fewest = min(
        sum(name.startswith("row_") for name in m.nets), sum(name.startswith("column_") for name in m.nets)
    )
    return (
        m.sum("largest share of the time that each LED is lit, if lines are lit in turn", "1 ÷ n", "1", PRACTICE,
              n=m.plain(fewest)),
    )  # fmt: skip


def _pair_sums(m: Match) -> Sums:
    return (
        m.sum(
            "most LEDs that so many pins can tell apart", "n · (n − 1)", "1", PRACTICE, n=m.plain(len(m.nets))
        ),
    )


def _unusual(m: Match) -> tuple[str, ...]:
    return () if m.has("resistor") else ("no resistor limits the current: the resistance of the pins does",)


MEMBERS = (
    BlockKind(
        name="multiplexed_leds",
        title="LEDs in rows and columns",
        purpose="{led} share lines and are lit in turn, too fast to see, so that few pins light many LEDs.",
        example=_rows_example,
        finds=_rows,
        rank=8,
        sums=_row_sums,
        unusual=_unusual,
        fails=(
            "led one open: it alone stays dark",
            "led one shorted: faint light appears in others of its row and column",
            "resistor open: all LEDs of its line stay dark",
        ),
        source=PRACTICE,
    ),
    BlockKind(
        name="charlieplexed_leds",
        title="LEDs between every two pins",
        purpose="{led} lie both ways between pins that can be high, low or let go; one pair of pins lights one LED.",
        example=_pairs_example,
        finds=_pairs,
        rank=9,
        sums=_pair_sums,
        unusual=_unusual,
        fails=(
            "led one open: it alone stays dark, and its neighbours may glow faintly in its place",
            "led one shorted: two lines are one, and most of the LEDs show nonsense",
            "resistor open: all LEDs of its line stay dark",
        ),
        source=PRACTICE,
    ),
)
