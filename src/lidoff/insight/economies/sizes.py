"""Parts that are loaded close to their limit or beyond, and parts that could stand far more."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.circuit import Circuit
from lidoff.insight.economy import Economy, EconomyKind, Load, Survey
from lidoff.insight.sketch import piece, sketch
from lidoff.insight.wording import by_number, told_parts
from lidoff.quantities import Quantity, format_quantity

__all__ = ["MEMBERS"]

IDLE = 1e-6
"""Share of a limit up to which a part carried nothing, so that its load says nothing of its size; our choice."""
AMPLE = 0.15
"""Share of each of its told limits below which a part is larger than needed; our choice."""
ALIKE = 0.03
"""Relative difference up to which loads on equal limits are told together."""


def _example() -> Circuit:
    return sketch(
        "One LED",
        piece("J1", "dc_supply", "v5 gnd", voltage=5.0),
        piece("R1", "resistor", "v5 a", resistance=100.0, power_rating=0.1),
        piece("D1", "led", "a gnd", current_rating=0.5),
    )


LOADS = (
    Load(
        reference="R1", rating="power_rating", load=Quantity(0.09, "W"), limit=Quantity(0.1, "W"), usual=0.6
    ),
    Load(reference="D1", rating="current_rating", load=Quantity(0.03, "A"), limit=Quantity(0.5, "A")),
)


SELF_WILLED = frozenset({"motor", "lamp", "heater", "buzzer", "piezo"})
"""Kinds that set their own current: what they draw says nothing of how the maker chose their size."""
KICKS = ("flyback_diode", "clamp", "snubber", "surge_clamp", "noise_capacitor", "polarity_shunt_diode")
"""Blocks whose parts work in moments that an operating point does not show."""


def _worth_judging(survey: Survey, reference: str) -> bool:
    """Whether the highest load that was found is likely to be the highest that there is."""
    one = survey.view.by_reference.get(reference)
    if one is None or set(one.nets.values()) & survey.view.alternating:
        return False
    return not set(survey.block_kinds_of(reference)) & set(KICKS)


def _shown(quantity: Quantity) -> str:
    if quantity.uncertainty:
        return format_quantity(quantity)
    return format_quantity(Quantity(float(f"{quantity.value:.3g}"), quantity.unit))


def _highest_share(one: Load) -> float:
    """Share of the limit with the load as high as its uncertainty lets it be."""
    return one.share * (1.0 + one.load.expanded / abs(one.load.value)) if one.load.value else one.share


def _percent(share: float) -> str:
    return f"{100.0 * share:.0f} %"


def _together(loads: list[Load]) -> Iterator[list[Load]]:
    """Loads that are alike, such as those of twenty equal LEDs."""
    left = sorted(loads, key=lambda one: (one.rating, one.limit.value, one.load.value))
    while left:
        first = left[0]
        group = [
            one
            for one in left
            if (one.rating, one.limit) == (first.rating, first.limit)
            and one.share <= first.share * (1.0 + ALIKE)
        ]
        left = [one for one in left if one not in group]
        yield group


def _small(survey: Survey) -> Iterator[Economy]:
    kinds = {one.reference: one.kind for one in survey.view.parts}
    tight = [
        one
        for one in survey.loads
        if one.told and one.usual < one.share and kinds.get(one.reference) not in SELF_WILLED
    ]
    for group in _together(tight):
        worst = max(group, key=lambda one: one.share)
        what = worst.rating.replace("_", " ")
        names = sorted((one.reference for one in group), key=by_number)
        beyond = worst.share > 1.0
        where = f" ({worst.situation})" if worst.situation else ""
        yield Economy(
            kind="undersized",
            title="part that is small for its load",
            what=f"{told_parts(names)}: {_shown(worst.load)} on a {what} of {_shown(worst.limit)}{where}, "
            f"{_percent(worst.share)} of it; designers usually stay at or below {_percent(worst.usual)}",
            consequence="it is loaded beyond what its maker allows, and may fail early"
            if beyond
            else "it runs warm or close to its limit, and ages faster",
            why="the next larger part costs more, and the device outlives its warranty all the same"
            if not beyond
            else "it works on the day it is tested, and the larger part costs more",
            parts=tuple(names),
        )


def _large(survey: Survey) -> Iterator[Economy]:
    by_part: dict[str, list[Load]] = {}
    for one in survey.loads:
        if one.told:
            by_part.setdefault(one.reference, []).append(one)
    ample = [
        max(loads, key=lambda one: one.share)
        for loads in by_part.values()
        if all(_highest_share(one) < AMPLE for one in loads)
        and any(one.share > IDLE for one in loads)
        and _worth_judging(survey, loads[0].reference)
    ]
    for group in _together(ample):
        worst = max(group, key=lambda one: one.share)
        what = worst.rating.replace("_", " ")
        names = sorted((one.reference for one in group), key=by_number)
        yield Economy(
            kind="oversized",
            title="part that could stand far more",
            what=f"{told_parts(names)}: {_shown(worst.load)} where it is loaded most, on a {what} of "
            f"{_shown(worst.limit)}, {_percent(worst.share)} of it",
            consequence="none but its price and its room",
            why="it was in stock for another product, or is made in such numbers that a smaller one costs as much",
            parts=tuple(names),
        )


MEMBERS = (
    EconomyKind(
        name="undersized",
        title="part that is small for its load",
        says="Loads above the usual share of a limit that the dossier tells.",
        example=_example,
        finds=_small,
        loads=LOADS,
    ),
    EconomyKind(
        name="oversized",
        title="part that could stand far more",
        says="Parts whose highest load is a small share of every limit that the dossier tells for them.",
        example=_example,
        finds=_large,
        loads=LOADS,
    ),
)
