"""Patterns: the parts of a block by role, the nets that join them, and what must hold of both.

A *role* names kinds of part and, pin by pin, net variables; two pins with the same variable lie on the same net, two
variables on two nets. A *chain* is a run of two-pin parts one after the other, whatever their order. Net conditions are
functions of the view and the net. A `BlockKind` gathers the ways in which a block is built, with what it is for and its sums.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.circuit import Circuit, all_kinds
from lidoff.insight.block import Missing, Sum
from lidoff.insight.match import Match
from lidoff.insight.view import PlacedPart, View

__all__ = [
    "ALTERNATING",
    "DRIVEN",
    "GROUND",
    "NOT_RAIL",
    "RAIL",
    "SENSED",
    "SUPPLY",
    "BlockKind",
    "Chain",
    "NetTest",
    "Pattern",
    "Role",
    "Sums",
    "all_blocks",
    "at_most",
    "chain",
    "either",
    "role",
]

NetTest = Callable[[View, str], bool]
PartTest = Callable[[PlacedPart], bool]
Sums = tuple[Sum | Missing | None, ...]


def GROUND(view: View, net: str) -> bool:
    """Whether the net works as a ground."""
    return net in view.grounds


def SUPPLY(view: View, net: str) -> bool:
    """Whether the net feeds."""
    return net in view.supplies


def RAIL(view: View, net: str) -> bool:
    """Whether the net is a supply or a ground."""
    return net in view.rails


def NOT_RAIL(view: View, net: str) -> bool:
    """Whether the net is neither supply nor ground."""
    return net not in view.rails


def DRIVEN(view: View, net: str) -> bool:
    """Whether an output may set the net."""
    return view.is_driven(net)


def SENSED(view: View, net: str) -> bool:
    """Whether an input looks at the net."""
    return view.is_sensed(net)


def ALTERNATING(view: View, net: str) -> bool:
    """Whether the net is on an alternating source or a winding."""
    return net in view.alternating


def at_most(pins: int) -> NetTest:
    """Condition: the net has no more than so many pins."""
    return lambda view, net: view.degree(net) <= pins


def either(*tests: NetTest) -> NetTest:
    """Condition: one of the tests holds."""
    return lambda view, net: any(test(view, net) for test in tests)


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """One part of a pattern.

    Attributes
    ----------
    name : str
        What it is called in the block's words; roles of one name are told together.
    kinds : tuple of str
        Kinds of part that can play it.
    pins : tuple of str
        Net variable of each pin, in the order of the kind's pins; ``-`` for a pin that does not matter.
    by_role : mapping of str to str
        For boxes and controllers instead of `pins`: role of the pin (``supply``, ``ground``, ``input``, ``output`` or ``any``)
        → net variable; a second pin of the same role as ``output 2``.
    where : callable (part) → bool, optional
        What must hold of the part.
    optional : bool
        Whether the block stands without it.
    many : bool
        Whether all parts that fit play it together.
    least : int
        How many there must be, where `many`.
    shared : bool
        Whether the part only has to be there and is explained by another block.
    """

    name: str
    kinds: tuple[str, ...]
    pins: tuple[str, ...] = ()
    by_role: Mapping[str, str] = field(default_factory=dict)
    where: PartTest | None = None
    optional: bool = False
    many: bool = False
    least: int = 1
    shared: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Parts in series between two nets, in whatever order; parts with a direction all point from start to end.

    Attributes
    ----------
    start, end : str
        Net variables.
    counts : mapping of str to (int, int)
        Least and most parts of each kind; the kind is also the role's name.
    renamed : mapping of str to str
        Kind → role, where the kind's name would clash.
    """

    start: str
    end: str
    counts: Mapping[str, tuple[int, int]]
    renamed: Mapping[str, str] = field(default_factory=dict)


def role(
    name: str,
    kinds: str,
    pins: str = "",
    *,
    by_role: Mapping[str, str] | None = None,
    where: PartTest | None = None,
    optional: bool = False,
    many: bool = False,
    least: int = 1,
    shared: bool = False,
) -> Role:
    """Write a role shortly: kinds and net variables as words.

    Parameters
    ----------
    name : str
        Of the role.
    kinds : str
        Names of kinds, with spaces between.
    pins : str, optional
        Net variables in the order of the kind's pins, ``-`` for any net.
    by_role, where, optional, many, least, shared
        As for `Role`.

    Returns
    -------
    Role
        The role.
    """
    return Role(
        name=name,
        kinds=tuple(kinds.split()),
        pins=tuple(pins.split()),
        by_role=by_role or {},
        where=where,
        optional=optional,
        many=many,
        least=least,
        shared=shared,
    )


def chain(start: str, end: str, **counts: tuple[int, int]) -> Chain:
    """Write a chain shortly: ``chain("top", "bottom", led=(2, 99), resistor=(1, 3))``."""
    return Chain(start=start, end=end, counts=counts)


def _holds(match: Match) -> bool:  # noqa: ARG001
    return True


def _no_sums(match: Match) -> Sums:  # noqa: ARG001
    return ()


def _nothing(match: Match) -> tuple[str, ...]:  # noqa: ARG001
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Pattern:
    """One way in which a block is built.

    Attributes
    ----------
    roles : tuple of Role or Chain
        The most telling first; optional ones last.
    nets : mapping of str to tuple of NetTest
        Conditions on net variables.
    where : callable (match) → bool
        What must hold of the whole, such as values and solved quantities.
    loose : tuple of str
        Net variables that may be the same net as another.
    """

    roles: tuple[Role | Chain, ...]
    nets: Mapping[str, tuple[NetTest, ...]] = field(default_factory=dict)
    where: Callable[[Match], bool] = _holds
    loose: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class BlockKind:
    """One kind of block: how it is built, what it is for, its sums, what is unusual, what happens if it fails.

    Attributes
    ----------
    name : str
        As in data.
    title : str
        As read by a person.
    purpose : str
        One sentence; ``{role}`` and ``{net}`` stand for this circuit's references and nets.
    example : callable () → Circuit
        A circuit that holds it.
    patterns : tuple of Pattern
        The ways in which it is built.
    finds : callable (view) → tuple of Match, optional
        For shapes that no fixed list of roles describes, such as a matrix; used beside `patterns`.
    also : tuple of str
        Kinds of the other blocks in the example.
    rank : int
        How telling it is, 1 to 9: decides where two readings explain the same parts.
    sums : callable (match) → tuple of Sum, Missing or None
        None for those that do not apply here.
    unusual : callable (match) → tuple of str
        What is not as textbooks have it.
    fails : tuple of str
        ``role open: what follows``; a line whose role is absent here is left out.
    source : str
        Where the arrangement is described.
    """

    name: str
    title: str
    purpose: str
    example: Callable[[], Circuit]
    patterns: tuple[Pattern, ...] = ()
    finds: Callable[[View], tuple[Match, ...]] | None = None
    also: tuple[str, ...] = ()
    rank: int = 5
    sums: Callable[[Match], Sums] = _no_sums
    unusual: Callable[[Match], tuple[str, ...]] = _nothing
    fails: tuple[str, ...] = ()
    source: str = "common practice, no source"

    def __post_init__(self) -> None:
        """Refuse a kind of part that does not exist, or pins that do not fit it."""
        known = all_kinds()
        for pattern in self.patterns:
            for one in pattern.roles:
                kinds = tuple(one.counts) if isinstance(one, Chain) else one.kinds
                for kind in kinds:
                    if kind not in known:
                        raise TypeError(f"block {self.name}: there is no kind of part {kind!r}")
                    if isinstance(one, Role) and one.pins and len(one.pins) != len(known[kind].pins):
                        raise TypeError(
                            f"block {self.name}, role {one.name}: a {kind} has the pins {known[kind].pins}"
                        )


@cache
def all_blocks() -> Mapping[str, BlockKind]:
    """Every kind of block by name, sorted."""
    from lidoff.insight import blocks

    return catalogue(blocks, of=BlockKind)
