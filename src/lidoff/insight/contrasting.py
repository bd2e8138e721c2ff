"""Two circuits held against each other: what is the same, what was changed, in words and tinted on both drawings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from lidoff.circuit import Circuit, kind_of
from lidoff.insight.block import Block
from lidoff.insight.economy import stock_of, value_of
from lidoff.insight.pairing import Pairing, agreeing, paired
from lidoff.insight.pattern import all_blocks
from lidoff.insight.recognise import recognise
from lidoff.insight.view import PlacedPart, View, view_of
from lidoff.insight.wording import by_number, told_parts
from lidoff.schematic import Group

__all__ = ["Change", "Contrast", "contrast", "contrast_with_block", "tinted_changes"]

SAME_VALUE = 0.02
"""Relative difference up to which two main values count as the same."""
TINTS = {"left out": "#a8412f", "added": "#1f8a8a", "changed": "#c8841a", "moved": "#5b6fa8"}
"""Colour of each sort of change; the captions say it too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One difference between two circuits.

    Attributes
    ----------
    sort : str
        ``left out`` (in the first only), ``added`` (in the second only), ``changed`` (value, kind or print), ``moved`` (a pin
        on another net) or ``blocks`` (an arrangement that only one of them has).
    says : str
        In words.
    first, second : tuple of str
        References that it is about in either circuit.
    """

    sort: str
    says: str
    first: tuple[str, ...] = ()
    second: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Contrast:
    """Two circuits held against each other.

    Attributes
    ----------
    pairing : Pairing
        Which part and net is which.
    changes : tuple of Change
        Parts left out and added first, then changed values, then moved pins, then blocks.
    renamed : mapping of str to str
        Parts that bear another reference in the second.
    summary : str
        In a sentence.
    """

    pairing: Pairing
    changes: tuple[Change, ...]
    renamed: Mapping[str, str]
    summary: str

    @property
    def same(self) -> bool:
        """Whether nothing but names differs."""
        return not self.changes


def contrast(first: Circuit, second: Circuit) -> Contrast:
    """Hold two circuits against each other, such as two revisions of one device.

    Parameters
    ----------
    first, second : Circuit
        Wires and board tracks count as joints; names of nets and references do not matter.

    Returns
    -------
    Contrast
        With the differences in words.
    """
    blocks = recognise(first), recognise(second)
    views = view_of(first, idle=True), view_of(second, idle=True)
    pairing = paired(*views)
    changes = (
        *_alone(views[0], blocks[0], set(pairing.parts), "left out"),
        *_alone(views[1], blocks[1], set(pairing.parts.values()), "added"),
        *_changed(views, pairing),
        *_moved(views, pairing),
        *_blocks(blocks, pairing),
    )
    renamed = {one: other for one, other in pairing.parts.items() if one != other}
    return Contrast(
        pairing=pairing,
        changes=changes,
        renamed=renamed,
        summary=_summary(first, second, changes, len(pairing.parts)),
    )


def contrast_with_block(circuit: Circuit, block: Block) -> Contrast:
    """Hold a recognised block against the textbook's arrangement that stands beside its kind.

    Parameters
    ----------
    circuit : Circuit
        The whole circuit.
    block : Block
        One of those recognised in it.

    Returns
    -------
    Contrast
        From the textbook's to this one; values of the textbook's are only an example, so that changed values are left out.
    """
    kind = all_blocks()[block.kind]
    example = kind.example()
    model = next(one for one in recognise(example) if one.kind == block.kind)
    mine, theirs = _only(circuit, block), _only(example, model)
    views = view_of(theirs, idle=True), view_of(mine, idle=True)
    pairing = paired(*views)
    changes = (
        *_alone(views[0], (model,), set(pairing.parts), "left out"),
        *_alone(views[1], (block,), set(pairing.parts.values()), "added"),
        *_moved(views, pairing),
    )
    return Contrast(
        pairing=pairing,
        changes=changes,
        renamed={},
        summary=f"{told_parts(block.parts)} beside a {kind.title} as textbooks have it ({kind.source}): "
        + ("no difference in arrangement" if not changes else _counted(changes)),
    )


def _only(circuit: Circuit, block: Block) -> Circuit:
    """The part of a circuit that a block is about."""
    wanted = set(block.parts) | {part for parts in block.roles.values() for part in parts}
    return replace(circuit, parts=tuple(part for part in circuit.parts if part.reference in wanted))


def _named(one: PlacedPart) -> str:
    """A part with what it is, as ``R5 (resistor, 10 kΩ)``."""
    told = ", ".join(text for text in (kind_of(one.part).title, value_of(one.part)) if text)
    return f"{one.reference} ({told})"


def _role_of(reference: str, blocks: Sequence[Block]) -> str:
    """What a part does, from the block that explains it."""
    for block in blocks:
        if reference in block.parts:
            return block.title
    return ""


def _alone(view: View, blocks: Sequence[Block], known: set[str], sort: str) -> Iterator[Change]:
    lost = [one for one in view.parts if one.reference not in known]
    which = "first" if sort == "left out" else "second"
    for one in sorted(lost, key=lambda part: by_number(part.reference)):
        title = _role_of(one.reference, blocks)
        does = f"; there it belongs to: {title}" if title else ""
        nets = " and ".join(dict.fromkeys(one.nets.values()))
        yield Change(
            sort=sort,
            says=f"{_named(one)} is only in the {which}, between {nets}{does}"
            if len(one.nets) == 2
            else f"{_named(one)} is only in the {which}{does}",
            first=(one.reference,) if sort == "left out" else (),
            second=(one.reference,) if sort == "added" else (),
        )


def _pairs(views: tuple[View, View], pairing: Pairing) -> Iterator[tuple[PlacedPart, PlacedPart]]:
    for one in sorted(pairing.parts, key=by_number):
        yield views[0].by_reference[one], views[1].by_reference[pairing.parts[one]]


def _both(one: PlacedPart, other: PlacedPart) -> str:
    """Both references, once where they are the same."""
    return one.reference if one.reference == other.reference else f"{one.reference} (there {other.reference})"


def _changed(views: tuple[View, View], pairing: Pairing) -> Iterator[Change]:
    for one, other in _pairs(views, pairing):
        says = ""
        if one.kind != other.kind:
            says = f"{kind_of(one.part).title} became {kind_of(other.part).title}"
        elif _differs(one, other):
            says = f"{value_of(one.part) or 'no value'} became {value_of(other.part) or 'no value'}"
        elif one.part.marking != other.part.marking and one.part.marking and other.part.marking:
            says = f"the print “{one.part.marking}” became “{other.part.marking}”"
        if says:
            yield Change(
                sort="changed",
                says=f"{_both(one, other)}: {says}",
                first=(one.reference,),
                second=(other.reference,),
            )


def _differs(one: PlacedPart, other: PlacedPart) -> bool:
    """Whether the main values that are told for both differ."""
    main = kind_of(one.part).main_value
    if main not in one.part.values or main not in other.part.values:
        return False
    first, second = one.value(main), other.value(main)
    if first is None or second is None:
        return one.part.values[main] != other.part.values[main]
    return abs(first - second) > SAME_VALUE * max(abs(first), abs(second))


def _moved(views: tuple[View, View], pairing: Pairing) -> Iterator[Change]:
    """Pins on nets that are not paired with each other."""
    for one, other in _pairs(views, pairing):
        if one.kind != other.kind and set(one.nets) != set(other.nets):
            continue
        _, turn = agreeing(one, other, pairing.nets)
        moved = [
            (pin, net, other.nets[turn.get(pin, pin)])
            for pin, net in one.nets.items()
            if turn.get(pin, pin) in other.nets and pairing.nets.get(net) != other.nets[turn.get(pin, pin)]
        ]
        if moved:
            yield Change(
                sort="moved",
                says=f"{_both(one, other)}: {_moves(one, other, moved, pairing)}",
                first=(one.reference,),
                second=(other.reference,),
            )


def _moves(
    one: PlacedPart, other: PlacedPart, moved: Sequence[tuple[str, str, str]], pairing: Pairing
) -> str:
    turned = (
        len(one.nets) == 2
        and len(moved) == 2
        and {pairing.nets.get(net) for net in one.nets.values()} == set(other.nets.values())
    )
    if turned:
        return "turned round"
    back = {there: here for here, there in pairing.nets.items()}
    told = [
        f"pin {pin} went from {net} to {there}"
        + (f" (the first calls it {back[there]})" if back.get(there, there) != there else "")
        for pin, net, there in moved
    ]
    return "; ".join(told)


def _blocks(blocks: tuple[Sequence[Block], Sequence[Block]], pairing: Pairing) -> Iterator[Change]:
    """Arrangements that only one of the two has, by kind and the parts they share."""
    there = list(blocks[1])
    for block in blocks[0]:
        mine = {pairing.parts.get(part) for part in block.parts}
        met = next((one for one in there if one.kind == block.kind and mine & set(one.parts)), None)
        if met is not None:
            there.remove(met)
        else:
            yield Change(
                sort="blocks",
                says=f"only the first has a {block.title}: {told_parts(block.parts)}",
                first=block.parts,
            )
    for block in there:
        yield Change(
            sort="blocks",
            says=f"only the second has a {block.title}: {told_parts(block.parts)}",
            second=block.parts,
        )


def _counted(changes: Sequence[Change]) -> str:
    words = {
        "left out": "only in the first", "added": "only in the second", "changed": "changed", "moved": "connected otherwise",
    }  # fmt: skip
    counts = [(sum(one.sort == sort for one in changes), told) for sort, told in words.items()]
    return ", ".join(f"{number} {told}" for number, told in counts if number) or "the same parts"


def _summary(first: Circuit, second: Circuit, changes: Sequence[Change], pairs: int) -> str:
    stock = f"The first takes {stock_of(first)}, the second {stock_of(second)}."
    if not changes:
        return f"The two circuits are the same but for names: {pairs} parts agree. {stock}"
    return f"{pairs} parts belong together; of all: {_counted(changes)}. {stock}"


def tinted_changes(found: Contrast) -> tuple[tuple[Group, ...], tuple[Group, ...]]:
    """Groups that tint both drawings by what differs.

    Parameters
    ----------
    found : Contrast

    Returns
    -------
    tuple of (tuple of Group, tuple of Group)
        For the drawing of the first and of the second circuit; each captioned in a word.
    """
    sides: tuple[list[Group], list[Group]] = ([], [])
    for change in found.changes:
        if change.sort in TINTS:
            for side, parts in zip(sides, (change.first, change.second), strict=True):
                taken = {part for group in side for part in group.parts}
                side += [
                    Group(parts=(part,), caption=change.sort, tint=TINTS[change.sort])
                    for part in parts
                    if part not in taken
                ]
    return tuple(sides[0]), tuple(sides[1])
