"""What a recognised block is: its parts, what it is for, its sums with this circuit's numbers, what happens if it fails."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from lidoff.quantities import Quantity
from lidoff.schematic import Group

__all__ = ["Beside", "Block", "Missing", "Sum", "groups_of", "read_among", "told_once"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """A number that stands beside a sum: what the solved circuit says, or what was read.

    Attributes
    ----------
    what : str
        ``solved``, or the name of the reading.
    situation : str
        Where it belongs.
    quantity : Quantity
        In the sum's unit.
    how : str
        How it follows from what was read, where it was not read itself; empty otherwise.
    """

    what: str
    situation: str
    quantity: Quantity
    how: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """One sum of a block, worked out with this circuit's numbers.

    Attributes
    ----------
    says : str
        What comes out, in words.
    formula : str
        Right-hand side with letters, such as ``(V − V_F) ÷ R``.
    numbers : str
        The same with the numbers put in; the formula again where it is a bare letter.
    result : Quantity
        Its uncertainty is that of the parts' tolerances, also by way of the voltages and currents taken from a solved circuit;
        figures of a waveform count as exact.
    letters : mapping of str to Quantity
        What each letter stands for here.
    source : str
        Where the formula comes from.
    beside : tuple of Beside
        The solved circuit's value and readings of the same quantity.
    situation : str
        Situation whose solved voltages and currents went in; empty where none did.
    """

    says: str
    formula: str
    numbers: str
    result: Quantity
    letters: Mapping[str, Quantity]
    source: str
    beside: tuple[Beside, ...] = ()
    situation: str = ""

    def __str__(self) -> str:
        worked = self.formula if self.numbers == self.formula else f"{self.formula} = {self.numbers}"
        return f"{self.says} = {worked} = {self.result}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Missing:
    """A sum that cannot be worked out here.

    Attributes
    ----------
    says, formula : str
        As for `Sum`.
    letters : tuple of str
        Letters of the formula that have no number.
    source : str
        Where the formula comes from.
    why : str
        Why it is left out though all letters have numbers; empty otherwise.
    """

    says: str
    formula: str
    letters: tuple[str, ...]
    source: str = ""
    why: str = ""

    def __str__(self) -> str:
        if self.why:
            return f"{self.says}: left out, since {self.why}"
        verb = "is" if len(self.letters) == 1 else "are"
        return f"{self.says} = {self.formula}: {' and '.join(self.letters)} {verb} not known here"


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One block found in a circuit.

    Attributes
    ----------
    kind : str
        Name of the block's kind, see `all_blocks`.
    title : str
        As read by a person.
    roles : mapping of str to tuple of str
        References of the parts that play each role; a role that is only looked at, and belongs to another block, is here too.
    nets : mapping of str to str
        Net of each net role.
    parts : tuple of str
        References of the parts that this block explains, sorted; no part is explained twice.
    purpose : str
        What it is for, with this circuit's references.
    sums : tuple of Sum
        With this circuit's numbers; only those whose numbers are all known.
    missing : tuple of str
        Sums that could not be worked out, and which letters lack a number; those left out for one reason in one line.
    unusual : tuple of str
        What is not as textbooks have it.
    if_it_fails : tuple of str
        What a broken part of it does.
    source : str
        Where the arrangement is described.
    """

    kind: str
    title: str
    roles: Mapping[str, tuple[str, ...]]
    nets: Mapping[str, str]
    parts: tuple[str, ...]
    purpose: str
    sums: tuple[Sum, ...] = ()
    missing: tuple[str, ...] = ()
    unusual: tuple[str, ...] = ()
    if_it_fails: tuple[str, ...] = ()
    source: str = ""


def groups_of(blocks: Iterable[Block]) -> tuple[Group, ...]:
    """Groups for the drawing: the parts of each block under its title.

    Parameters
    ----------
    blocks : iterable of Block
        As recognised.

    Returns
    -------
    tuple of Group
        Blocks of a single part are left out: a caption over one symbol says nothing that the symbol does not.
    """
    return tuple(Group(parts=block.parts, caption=block.title) for block in blocks if len(block.parts) > 1)


def told_once(blocks: Iterable[Block]) -> tuple[tuple[Block, ...], ...]:
    """Blocks that are alike put together, so that nine equal strings are told once.

    Parameters
    ----------
    blocks : iterable of Block
        As recognised.

    Returns
    -------
    tuple of tuple of Block
        Blocks of one kind with the same formulas, letters and number of parts in each role; in the order of the first of each.
    """
    alike: dict[object, list[Block]] = {}
    for block in blocks:
        sums = tuple(
            (one.formula, tuple((name, round(q.value, 9)) for name, q in one.letters.items()))
            for one in block.sums
        )
        counts = tuple((role, len(parts)) for role, parts in block.roles.items())
        alike.setdefault((block.kind, counts, sums), []).append(block)
    return tuple(tuple(group) for group in alike.values())


def read_among(group: Iterable[Block]) -> tuple[tuple[str, int, Beside, Beside], ...]:
    """What was read of blocks that are alike, for each sum: from the lowest to the highest.

    Parameters
    ----------
    group : iterable of Block
        One of those of `told_once`.

    Returns
    -------
    tuple of (str, int, Beside, Beside)
        What comes out, how many readings, the lowest and the highest of them; only sums with readings of two blocks or more.
    """
    found: dict[str, list[Beside]] = {}
    counts: dict[str, int] = {}
    for block in group:
        for one in block.sums:
            near = [other for other in one.beside if other.what != "solved"]
            found.setdefault(one.says, []).extend(near)
            counts[one.says] = counts.get(one.says, 0) + bool(near)
    return tuple(
        (
            says,
            len(near),
            min(near, key=lambda one: one.quantity.value),
            max(near, key=lambda one: one.quantity.value),
        )
        for says, near in found.items()
        if counts[says] > 1
    )
