"""Buttons that share lines: in rows and columns, or along a chain of resistors."""

from __future__ import annotations

import networkx

from lidoff.circuit import Circuit
from lidoff.insight.match import Match
from lidoff.insight.pattern import NOT_RAIL, RAIL, SENSED, BlockKind, Pattern, Sums, role
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.sources import OHM, PRACTICE
from lidoff.insight.view import PlacedPart, View

__all__ = ["MEMBERS"]


def _matrix_example() -> Circuit:
    return sketch(
        "Six keys on two rows and three columns",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", a="output row_1", b="output row_2", c="input column_1",
             d="input column_2", e="input column_3"),
        *(
            piece(f"S{3 * row + column - 3}", "button", f"row_{row} column_{column}")
            for row in (1, 2)
            for column in (1, 2, 3)
        ),
    )  # fmt: skip


def _ladder_example() -> Circuit:
    return sketch(
        "Three keys on one pin",
        piece("BT1", "cell", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", keys="input keys"),
        piece("R1", "resistor", "vbat keys", resistance=10e3),
        piece("S1", "button", "keys gnd"),
        piece("R2", "resistor", "keys second", resistance=2.2e3),
        piece("S2", "button", "second gnd"),
        piece("R3", "resistor", "keys third", resistance=6.8e3),
        piece("S3", "button", "third gnd"),
    )


def _split(view: View, keys: tuple[PlacedPart, ...]) -> tuple[list[str], list[str]] | None:
    """Rows and columns, or None where the keys do not fall into two sides of at least two lines."""
    graph = networkx.Graph()
    graph.add_edges_from(tuple(one.nets.values()) for one in keys)
    if not networkx.is_bipartite(graph) or not networkx.is_connected(graph):
        return None
    one, other = (sorted(side) for side in networkx.bipartite.sets(graph))
    if len(one) < 2 or len(other) < 2 or len(keys) < len(one) + len(other) - 1:
        return None
    reached = [view.is_driven(net) or view.is_sensed(net) for net in (*one, *other)]
    if not all(reached):
        return None
    one, other = sorted((one, other), key=lambda side: (len(side), side))
    return one, other


def _matrices(view: View) -> tuple[Match, ...]:
    keys = [one for one in view.by_kind.get("button", ()) if not set(one.nets.values()) & view.rails]
    graph = networkx.Graph()
    graph.add_edges_from(tuple(one.nets.values()) for one in keys)
    found = []
    for nets in networkx.connected_components(graph):
        members = tuple(one for one in keys if one.nets["1"] in nets)
        sides = _split(view, members) if len(members) >= 4 else None
        if sides is not None:
            rows = {f"row_{number}": net for number, net in enumerate(sides[0], start=1)}
            columns = {f"column_{number}": net for number, net in enumerate(sides[1], start=1)}
            found.append(
                Match(
                    view=view,
                    roles={"key": members},
                    nets=rows | columns,
                    required=frozenset(one.reference for one in members),
                )
            )
    return tuple(found)


def _matrix_sums(m: Match) -> Sums:
    rows = sum(name.startswith("row_") for name in m.nets)
    columns = sum(name.startswith("column_") for name in m.nets)
    return (
        m.sum("pins taken", "n + k", "1", PRACTICE, n=m.plain(rows), k=m.plain(columns)),
        m.sum(
            "most keys that so many lines can tell apart",
            "n · k",
            "1",
            PRACTICE,
            n=m.plain(rows),
            k=m.plain(columns),
        ),
    )


def _matrix_unusual(m: Match) -> tuple[str, ...]:
    guarded = any(one.kind == "diode" for name in m.nets for one, _ in m.view.pins[m.nets[name]])
    return () if guarded else ("no diodes: three keys held at once may look like four",)


def _ladder_sums(m: Match) -> Sums:
    return (
        m.sum("share of the supply while the key behind the first resistor is held", "R_1 ÷ (R_1 + R_up)", "1", OHM,
              R_1=m.ohms("step"), R_up=m.ohms("pull")),
    )  # fmt: skip


MEMBERS = (
    BlockKind(
        name="key_matrix",
        title="keys in rows and columns",
        purpose="{key} share lines: the chip drives one line at a time and looks which of the others follows.",
        example=_matrix_example,
        finds=_matrices,
        rank=8,
        sums=_matrix_sums,
        unusual=_matrix_unusual,
        fails=("key one stuck closed: its row and column are joined, and others seem pressed too",),
        source=PRACTICE,
    ),
    BlockKind(
        name="key_ladder",
        title="keys on one pin",
        purpose="Each of {key} pulls {line} to a voltage of its own through {step}, so that one pin reads them all.",
        example=_ladder_example,
        patterns=(
            Pattern(
                roles=(
                    role("pull", "resistor", "line feed"),
                    role("key", "button", "line far"),
                    role("step", "resistor", "line second"),
                    role("key", "button", "second far"),
                    role("step", "resistor", "line third", optional=True),
                    role("key", "button", "third far", optional=True),
                    role("step", "resistor", "line fourth", optional=True),
                    role("key", "button", "fourth far", optional=True),
                ),
                nets={"line": (NOT_RAIL, SENSED), "far": (RAIL,), "feed": (RAIL,), "second": (NOT_RAIL,),
                      "third": (NOT_RAIL,), "fourth": (NOT_RAIL,)},
            ),
            Pattern(
                roles=(
                    role("pull", "resistor", "line feed"),
                    role("key", "button", "line far"),
                    role("step", "resistor", "line second"),
                    role("key", "button", "second far"),
                    role("step", "resistor", "second third"),
                    role("key", "button", "third far"),
                ),
                nets={"line": (NOT_RAIL, SENSED), "far": (RAIL,), "feed": (RAIL,), "second": (NOT_RAIL,),
                      "third": (NOT_RAIL,)},
            ),
        ),
        rank=7,
        sums=_ladder_sums,
        fails=(
            "pull open: {line} floats, and keys seem pressed at random",
            "step open: the keys behind it are dead",
            "key stuck closed: that key seems held, and others are read wrongly",
        ),
        source=PRACTICE,
    ),
)  # fmt: skip
