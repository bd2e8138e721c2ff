"""One value that serves several purposes, and one purpose that two parts serve."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from lidoff.circuit import Circuit, kind_of
from lidoff.insight.economy import Economy, EconomyKind, Survey, title_of_block, value_of
from lidoff.insight.sketch import chip, piece, sketch
from lidoff.insight.view import PlacedPart
from lidoff.insight.wording import by_number, told_parts

__all__ = ["MEMBERS"]

VALUED = frozenset({"resistor", "capacitor", "electrolytic_capacitor", "film_capacitor"})
EQUAL = 0.02
"""Relative difference up to which two values count as one."""


def _reused_example() -> Circuit:
    return sketch(
        "One value for a pull-up and a divider",
        piece("BT1", "battery", "vbat gnd"),
        chip("U1", supply="supply vbat", ground="ground gnd", key="input key", cell="input cell"),
        piece("S1", "button", "key gnd"),
        piece("R1", "resistor", "vbat key", resistance=100e3),
        piece("R2", "resistor", "vbat cell", resistance=100e3),
        piece("R3", "resistor", "cell gnd", resistance=100e3),
    )


def _doubled_example() -> Circuit:
    return sketch(
        "Two resistors side by side",
        piece("J1", "dc_supply", "v12 gnd", voltage=12.0),
        piece("R1", "resistor", "v12 a", resistance=220.0),
        piece("R2", "resistor", "v12 a", resistance=220.0),
        piece("D1", "led", "a gnd"),
    )


def _reused(survey: Survey) -> Iterator[Economy]:
    lines: dict[tuple[str, str], list[PlacedPart]] = {}
    for one in survey.view.parts:
        if one.kind in VALUED and value_of(one.part):
            lines.setdefault((one.kind, value_of(one.part)), []).append(one)
    for (_, value), parts in lines.items():
        uses: dict[str, list[str]] = {}
        for one in parts:
            for name in survey.block_kinds_of(one.reference):
                uses.setdefault(title_of_block(name), []).append(one.reference)
        if len(uses) > 1:
            told = "; ".join(f"{told_parts(names)} in: {title}" for title, names in sorted(uses.items()))
            title = kind_of(parts[0].part).title
            yield Economy(
                kind="reused_value",
                title="one value for several purposes",
                what=f"{value} ({title}) serves {len(uses)} purposes: {told}",
                consequence="none, as long as the value suits each purpose",
                why="fewer lines of stock: fewer reels to buy, to count and to load",
                parts=tuple(sorted((one.reference for one in parts), key=by_number)),
            )


def _beside(survey: Survey) -> Iterator[Economy]:
    """Equal resistors between the same two nets."""
    places: dict[frozenset[str], list[PlacedPart]] = {}
    for one in survey.view.by_kind.get("resistor", ()):
        places.setdefault(frozenset(one.nets.values()), []).append(one)
    for ends, parts in places.items():
        if len(ends) == 2 and len(parts) > 1:
            yield _doubled(parts, "side by side")
    seen: set[frozenset[str]] = set()
    for one, other in combinations(survey.view.by_kind.get("resistor", ()), 2):
        between = set(one.nets.values()) & set(other.nets.values())
        pair = frozenset({one.reference, other.reference})
        if len(between) == 1 and pair not in seen:
            net = next(iter(between))
            plain = survey.view.degree(net) == 2 and net not in survey.view.rails
            if plain and net not in survey.read and _one_would_do(survey, one, other):
                seen.add(pair)
                yield _doubled([one, other], "one after the other")


def _one_would_do(survey: Survey, *parts: PlacedPart) -> bool:
    """Whether one part in place of several in series would stand their voltage and their heat, as far as these are known.

    Bleeders are in series for the voltage, of which a body stands no more than two hundred volts or so.
    """
    if any({"bleeder", "capacitive_dropper"} & set(survey.block_kinds_of(one.reference)) for one in parts):
        return False
    for rating in ("voltage_rating", "power_rating"):
        loads = [
            load
            for one in parts
            for load in survey.loads
            if (load.reference, load.rating) == (one.reference, rating)
        ]
        whole = sum(load.load.value for load in loads)
        if loads and whole > max(load.limit.value for load in loads):
            return False
    return True


def _doubled(parts: list[PlacedPart], how: str) -> Economy:
    beside = how == "side by side"
    names = told_parts([one.reference for one in parts])
    ohms = [one.value("resistance") or 0.0 for one in parts]
    alike = max(ohms) - min(ohms) <= EQUAL * max(ohms)
    share = "the heat" if beside else "the heat and the voltage"
    why = (
        f"they share {share}, and two small parts of a value that is in stock anyway may cost less than one large part"
        if alike
        else "the value that was wanted was not in stock, and these two make it"
    )
    return Economy(
        kind="several_for_one",
        title="several resistors where one would do",
        what=f"{names} stand {how}, where one resistor would do",
        consequence="if one of them opens, the others go on with another value"
        if beside
        else "if one of them opens, nothing flows through the others either",
        why=why,
        parts=tuple(sorted((one.reference for one in parts), key=by_number)),
    )


MEMBERS = (
    EconomyKind(
        name="reused_value",
        title="one value for several purposes",
        says="Resistors or capacitors of one value that serve in blocks of different kinds.",
        example=_reused_example,
        finds=_reused,
    ),
    EconomyKind(
        name="several_for_one",
        title="several resistors where one would do",
        says="Resistors side by side or one after the other with nothing in between.",
        example=_doubled_example,
        finds=_beside,
    ),
)
