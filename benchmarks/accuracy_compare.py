"""How truly two circuits are told apart: labelled circuits against themselves under other names, and after one change."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace

from benchmarks.accuracy_blocks import SETS
from lidoff.circuit import Circuit, Part
from lidoff.insight import contrast

__all__ = ["Edit", "edits", "other_names", "section"]

SEED = 5
UNTOUCHED = frozenset({"wire", "link", "cable", "test_point", "dc_supply", "ac_supply"})
VALUES = {"resistor": "resistance", "capacitor": "capacitance", "electrolytic_capacitor": "capacitance"}
SORTS = {"left out": "a part left out", "changed": "a value changed", "moved": "a pin on another net"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Edit:
    """One change to a circuit.

    Attributes
    ----------
    before, after : Circuit
        The second under other names throughout.
    sort : str
        As contrast tells it; ``none`` where only names differ.
    reference : str
        The part, in the first.
    """

    before: Circuit
    after: Circuit
    sort: str
    reference: str = ""


def other_names(circuit: Circuit, seed: int) -> Circuit:
    """The same circuit with other references and net names, and its parts in another order."""
    chance = random.Random(seed)
    nets = sorted({net for part in circuit.parts for net in part.pins.values()} | {circuit.ground})
    names = dict(
        zip(nets, chance.sample([f"n{number}" for number in range(len(nets))], len(nets)), strict=True)
    )
    # Names that say what a net is are read on purpose, so they stay.
    names |= {net: net for net in nets if "rst" in net or "reset" in net or net.startswith("cc")}
    numbers = chance.sample(range(100, 100 + len(circuit.parts)), len(circuit.parts))
    parts = [
        replace(
            part,
            reference=f"{part.reference[0]}{number}",
            pins={pin: names[net] for pin, net in part.pins.items()},
        )
        for part, number in zip(circuit.parts, numbers, strict=True)
    ]
    chance.shuffle(parts)
    rails = {names[net]: role for net, role in circuit.rails.items() if net in names}
    return replace(circuit, parts=tuple(parts), ground=names[circuit.ground], rails=rails)


def _with(circuit: Circuit, changed: Part) -> Circuit:
    parts = tuple(changed if part.reference == changed.reference else part for part in circuit.parts)
    return replace(circuit, parts=parts)


def edits(seed: int = SEED) -> Iterator[Edit]:
    """Each labelled circuit under other names, and after one change of each sort where it has a part for it."""
    chance = random.Random(seed)
    for circuits in SETS.values():
        for one in circuits:
            whole = one.circuit
            yield Edit(before=whole, after=other_names(whole, seed), sort="none")
            parts = [part for part in whole.parts if part.kind not in UNTOUCHED]
            lost = chance.choice(parts)
            poorer = replace(whole, parts=tuple(part for part in whole.parts if part is not lost))
            yield Edit(
                before=whole, after=other_names(poorer, seed), sort="left out", reference=lost.reference
            )
            valued = [part for part in parts if VALUES.get(part.kind, "") in part.values]
            if valued:
                part = chance.choice(valued)
                values = {**part.values, VALUES[part.kind]: 2.2 * float(part.values[VALUES[part.kind]])}
                changed = _with(whole, replace(part, values=values))
                yield Edit(
                    before=whole, after=other_names(changed, seed), sort="changed", reference=part.reference
                )
            part = chance.choice(parts)
            pin = chance.choice(list(part.pins))
            net = chance.choice([net for net in whole.nets if net != part.pins[pin]])
            moved = _with(whole, replace(part, pins={**part.pins, pin: net}))
            yield Edit(before=whole, after=other_names(moved, seed), sort="moved", reference=part.reference)


def section() -> str:
    """Text of the section on comparison."""
    number: dict[str, int] = {}
    exact: dict[str, int] = {}
    alike: dict[str, int] = {}
    for edit in edits():
        changes = [one for one in contrast(edit.before, edit.after).changes if one.sort != "blocks"]
        number[edit.sort] = number.get(edit.sort, 0) + 1
        told = [(one.sort, *one.first) for one in changes]
        if edit.sort == "none":
            exact["none"] = exact.get("none", 0) + (not changes)
            continue
        exact[edit.sort] = exact.get(edit.sort, 0) + (told == [(edit.sort, edit.reference)])
        alike[edit.sort] = alike.get(edit.sort, 0) + (
            len(told) == 1
            and told[0][0] == edit.sort
            and edit.before.part(told[0][1]).kind == edit.before.part(edit.reference).kind
        )
    rows = [f"| {words} | {number[sort]} | {exact[sort]} | {alike[sort]} |" for sort, words in SORTS.items()]
    return "\n".join(
        [
            "## Comparison of two circuits",
            "",
            "The labelled circuits against themselves with all references and net names changed and the parts in another",
            "order, and the same after one change. Where parts stand alike, such as twenty equal LEDs, any may be told.",
            "",
            "| what was done | how many | told as that, on that part | as that, on a part of the same kind |",
            "|---|---|---|---|",
            f"| only names | {number['none']} | {exact['none']} told as the same | – |",
            *rows,
            "",
        ]
    )
