"""What a maker saved: the form of one economy, the kinds of economy, and the count of what is on the survey."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.circuit import Circuit, Part, Solution, kind_of
from lidoff.insight.block import Block
from lidoff.insight.pattern import BlockKind, all_blocks
from lidoff.insight.view import JOINING, View, view_of
from lidoff.insight.wording import by_number
from lidoff.quantities import Quantity, format_quantity

__all__ = [
    "Economy",
    "EconomyKind",
    "Load",
    "Stock",
    "StockLine",
    "Survey",
    "all_economies",
    "economies_of",
    "stock_of",
    "survey_of",
    "value_of",
]

NOT_PLACED = frozenset(
    {"test_point", "meter", "dc_supply", "ac_supply", "current_supply", "pulse_supply", *JOINING}
)
"""Kinds that nobody buys for the board: supplies outside it, wires, copper, and what only measures."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Load:
    """Highest load of one part on one of its ratings, as found elsewhere.

    Attributes
    ----------
    reference : str
    rating : str
        Parameter that holds the limit.
    load, limit : Quantity
        In the same unit.
    situation : str
        Where the load is highest.
    usual : float
        Share of the limit up to which designers usually go.
    told : bool
        Whether the limit is told for this very part.
    """

    reference: str
    rating: str
    load: Quantity
    limit: Quantity
    situation: str = ""
    usual: float = 1.0
    told: bool = True

    @property
    def share(self) -> float:
        """Load over limit."""
        return self.load.value / self.limit.value if self.limit.value else float("inf")


@dataclass(frozen=True, slots=True, kw_only=True)
class Economy:
    """One thing that a maker saved, or spent where less would do.

    Attributes
    ----------
    kind : str
        Name of its kind, see `all_economies`.
    title : str
        As read by a person.
    what : str
        What was done, with this circuit's references.
    consequence : str
        What follows for the device; empty where nothing does.
    why : str
        A guess, in plain words, at why they might have done it so; never a fact.
    parts : tuple of str
        References that it is about.
    source : str
        Where the usual way is described.
    """

    kind: str
    title: str
    what: str
    consequence: str = ""
    why: str = ""
    parts: tuple[str, ...] = ()
    source: str = "common practice, no source"


@dataclass(frozen=True, kw_only=True, eq=False)
class Survey:
    """What an economy is looked for in.

    Attributes
    ----------
    view : View
    blocks : sequence of Block
        As recognised.
    loads : sequence of Load
        Highest load of each part on each rating; empty where none were worked out.
    solution : Solution or None
        Operating points.
    read : frozenset of str
        Joined nets that carry a test point or that a reading is about: somebody has a use for them.
    guarded : frozenset of str
        Cells of which the analyst tells that they have a protection, wherever it sits.
    """

    view: View
    blocks: Sequence[Block] = ()
    loads: Sequence[Load] = ()
    solution: Solution | None = None
    read: frozenset[str] = frozenset()
    guarded: frozenset[str] = frozenset()

    def of_kind(self, *kinds: str) -> tuple[Block, ...]:
        """Blocks of some kinds."""
        return tuple(block for block in self.blocks if block.kind in kinds)

    def block_kinds_of(self, reference: str) -> tuple[str, ...]:
        """Kinds of the blocks that explain a part."""
        return tuple(block.kind for block in self.blocks if reference in block.parts)


Found = Iterable[Economy]


@dataclass(frozen=True, slots=True, kw_only=True)
class EconomyKind:
    """One kind of economy.

    Attributes
    ----------
    name, title : str
    says : str
        What is looked for, in one sentence.
    example : callable () → Circuit
        A circuit that shows it.
    finds : callable (survey) → iterable of Economy
        Those found.
    loads : tuple of Load
        Loads that the example is seen with.
    source : str
        Where the usual way is described.
    """

    name: str
    title: str
    says: str
    example: Callable[[], Circuit]
    finds: Callable[[Survey], Found]
    loads: tuple[Load, ...] = field(default=())
    source: str = "common practice, no source"


@cache
def all_economies() -> Mapping[str, EconomyKind]:
    """Every kind of economy by name, sorted."""
    from lidoff.insight import economies

    return catalogue(economies, of=EconomyKind)


def survey_of(
    circuit: Circuit,
    blocks: Sequence[Block],
    *,
    loads: Sequence[Load] = (),
    solution: Solution | None = None,
    read: Iterable[str] = (),
    guarded: Iterable[str] = (),
) -> Survey:
    """A circuit with its blocks and loads, ready to be looked at.

    Parameters
    ----------
    circuit : Circuit
    blocks : sequence of Block
        As recognised in it.
    loads : sequence of Load, optional
    solution : Solution, optional
    read : iterable of str, optional
        Nets that readings are about.
    guarded : iterable of str, optional
        Cells told to have a protection.

    Returns
    -------
    Survey
    """
    view = view_of(circuit)
    return Survey(
        view=view,
        blocks=tuple(blocks),
        loads=tuple(loads),
        solution=solution,
        read=view.tested | {view.joined[net] for net in read if net in view.joined},
        guarded=frozenset(guarded),
    )


def economies_of(survey: Survey) -> tuple[Economy, ...]:
    """Everything that was saved on a board, or spent where less would do.

    Parameters
    ----------
    survey : Survey
        See `survey_of`.

    Returns
    -------
    tuple of Economy
        By kind, then by parts.
    """
    found = [economy for kind in all_economies().values() for economy in kind.finds(survey)]
    return tuple(sorted(found, key=lambda one: (one.kind, tuple(by_number(part) for part in one.parts))))


def title_of_block(name: str) -> str:
    """Title of a kind of block."""
    kind: BlockKind = all_blocks()[name]
    return kind.title


# ---- what is on the board ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLine:
    """One line of a parts list: equal parts.

    Attributes
    ----------
    kind, value : str
        As read by a person.
    references : tuple of str
    """

    kind: str
    value: str
    references: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Count of what a board is made of.

    Attributes
    ----------
    lines : tuple of StockLine
        The most frequent first.
    """

    lines: tuple[StockLine, ...]

    @property
    def placements(self) -> int:
        """Parts to be placed."""
        return sum(len(line.references) for line in self.lines)

    def __str__(self) -> str:
        """The count in words."""
        one = "part" if self.placements == 1 else "parts"
        line = "line" if len(self.lines) == 1 else "lines"
        return f"{self.placements} {one} on {len(self.lines)} {line} of stock"


def value_of(part: Part) -> str:
    """Main value or marking of a part in words; empty where neither is known."""
    kind = kind_of(part)
    told = part.values.get(kind.main_value) if kind.main_value else None
    if told is None or (isinstance(told, float | int) and kind.main_value == "state"):
        return part.marking
    if isinstance(told, str):
        return told
    unit = kind.parameters_of(part)[kind.main_value].unit
    return format_quantity(Quantity(float(f"{told:.2g}"), unit or "1"))


def stock_of(circuit: Circuit, named: Mapping[str, str] | None = None) -> Stock:
    """Count the lines of stock and the placements.

    Parameters
    ----------
    circuit : Circuit
        As traced. Wires, copper, test points and supplies outside the board do not count.
    named : mapping of str to str, optional
        Line of stock by reference, where an analyst has told it; parts of one such line count as one whatever their values.

    Returns
    -------
    Stock
        Other parts of one kind, main value (to two digits, since measured values differ a little) and marking are one line.
    """
    told = named or {}
    lines: dict[tuple[str, str, str], list[str]] = {}
    for part in circuit.parts:
        if part.kind not in NOT_PLACED:
            line = told.get(part.reference, "")
            key = (
                (kind_of(part).title, line, line)
                if line
                else (kind_of(part).title, value_of(part), part.marking)
            )
            lines.setdefault(key, []).append(part.reference)
    ordered = sorted(lines.items(), key=lambda item: (-len(item[1]), item[0]))
    return Stock(
        lines=tuple(
            StockLine(kind=kind, value=value, references=tuple(sorted(names, key=by_number)))
            for (kind, value, _), names in ordered
        )
    )
