"""The search for a pattern: a join over pins, part by part, that gives up a branch at the first net that does not fit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lidoff.circuit import all_kinds
from lidoff.insight.chains import chain_of
from lidoff.insight.known import Known
from lidoff.insight.match import Match
from lidoff.insight.pattern import BlockKind, Chain, Pattern, Role
from lidoff.insight.view import SWAPS, PlacedPart, View

__all__ = ["matches_of"]

TAKEN_BY = {
    "supply": ("supply",), "ground": ("ground",), "input": ("input", "both", ""), "output": ("output", "both", ""),
    "any": ("input", "output", "both", "", "programming", "supply", "ground"),
}  # fmt: skip
"""Roles of a box's pin that serve for the role asked."""
MOST_PLACES = 1000
"""Places that are looked at for one kind. More arise only where many equal parts stand side by side, and then any will do."""


@dataclass(frozen=True, slots=True)
class _Partial:
    """A pattern half laid: parts by role, nets by variable, parts used."""

    roles: Mapping[str, tuple[PlacedPart, ...]]
    nets: Mapping[str, str]
    used: frozenset[str]


def matches_of(view: View, kind: BlockKind, known: Known) -> list[Match]:
    """Places where a block kind fits, one for each set of parts.

    Parameters
    ----------
    view : View
    kind : BlockKind
    known : Known
        Solution and readings, for conditions on solved quantities.

    Returns
    -------
    list of Match
        In the order of the parts' references.
    """
    found: dict[frozenset[str], Match] = {}
    if kind.finds is not None:
        for match in kind.finds(view):
            found.setdefault(match.required, replace(match, known=known))
    for pattern in kind.patterns:
        if not _has_the_kinds(view, pattern):
            continue
        needed = [one for one in pattern.roles if isinstance(one, Chain) or not one.optional]
        extra = [one for one in pattern.roles if isinstance(one, Role) and one.optional]
        for laid in _laid(view, pattern, needed, _Partial({}, {}, frozenset())):
            match = _match(view, pattern, _with_extra(view, pattern, extra, laid), known)
            if pattern.where(match):
                kept = found.get(match.required)
                if kept is None or len(kept.optional) < len(match.optional):
                    found[match.required] = match
                if len(found) >= MOST_PLACES:
                    break
    return list(found.values())


def _has_the_kinds(view: View, pattern: Pattern) -> bool:
    """Whether the circuit has a part for every role that is needed, before any search."""
    for one in pattern.roles:
        if isinstance(one, Chain):
            if any(least and kind not in view.by_kind for kind, (least, _) in one.counts.items()):
                return False
        elif not one.optional and not any(kind in view.by_kind for kind in one.kinds):
            return False
    return True


def _laid(view: View, pattern: Pattern, roles: list[Role | Chain], partial: _Partial) -> Iterator[_Partial]:
    """Every way to lay the roles."""
    if not roles:
        yield partial
        return
    for more in _placed(view, pattern, roles[0], partial):
        yield from _laid(view, pattern, roles[1:], more)


def _with_extra(view: View, pattern: Pattern, extra: list[Role], partial: _Partial) -> _Partial:
    """The optional roles added, each in the first way that fits."""
    for one in extra:
        partial = next(_placed(view, pattern, one, partial), partial)
    return partial


def _placed(view: View, pattern: Pattern, one: Role | Chain, partial: _Partial) -> Iterator[_Partial]:
    """Every way to add one role."""
    if isinstance(one, Chain):
        yield from _placed_chain(view, pattern, one, partial)
    elif one.many:
        yield from _placed_many(view, pattern, one, partial)
    else:
        for part in _candidates(view, one, partial):
            for nets in _joins(view, pattern, one, part, partial.nets):
                together = (*partial.roles.get(one.name, ()), part)
                yield _Partial({**partial.roles, one.name: together}, nets, partial.used | {part.reference})


def _placed_many(view: View, pattern: Pattern, one: Role, partial: _Partial) -> Iterator[_Partial]:
    """All parts that fit beside each other, for each way the first of them fits."""
    seen: set[frozenset[str]] = set()
    for part in _candidates(view, one, partial):
        for nets in _joins(view, pattern, one, part, partial.nets):
            together = [
                other
                for other in _candidates(view, one, partial)
                if other is part or any(True for _ in _joins(view, pattern, one, other, nets))
            ]
            names = frozenset(other.reference for other in together)
            if len(together) >= one.least and names not in seen:
                seen.add(names)
                yield _Partial({**partial.roles, one.name: tuple(together)}, nets, partial.used | names)


def _candidates(view: View, one: Role, partial: _Partial) -> list[PlacedPart]:
    """Parts that may play a role: those on its rarest known net, else all of its kinds."""
    wanted = [*one.pins, *one.by_role.values()]
    known = [partial.nets[name] for name in wanted if name in partial.nets]
    if known:
        fewest = min(known, key=view.degree)
        near = {part.reference: part for part, _ in view.pins[fewest] if part.kind in one.kinds}
        parts = list(near.values())
    else:
        parts = [part for kind in one.kinds for part in view.by_kind.get(kind, ())]
    return [
        part
        for part in parts
        if part.reference not in partial.used and (one.where is None or one.where(part))
    ]


def _joins(
    view: View, pattern: Pattern, one: Role, part: PlacedPart, nets: Mapping[str, str]
) -> Iterator[dict[str, str]]:
    """Every way in which the part's pins agree with the nets so far."""
    if one.by_role:
        yield from _joins_by_role(view, pattern, list(one.by_role.items()), part, nets, frozenset())
        return
    names = all_kinds()[part.kind].pins
    for swap in ({}, *SWAPS.get(part.kind, ())):
        joined = dict(nets)
        for pin, variable in zip(names, one.pins, strict=True):
            if variable == "-":
                continue
            net = part.nets.get(swap.get(pin, pin))
            if net is None or not _bind(view, pattern, joined, variable, net):
                break
        else:
            yield joined


def _joins_by_role(
    view: View,
    pattern: Pattern,
    wanted: list[tuple[str, str]],
    part: PlacedPart,
    nets: Mapping[str, str],
    used: frozenset[str],
) -> Iterator[dict[str, str]]:
    """Every assignment of a box's pins to the roles asked."""
    if not wanted:
        yield dict(nets)
        return
    (asked, variable), *rest = wanted
    serves = TAKEN_BY[asked.split()[0]]
    for pin, net in part.nets.items():
        if pin in used or part.part.pin_roles.get(pin, "") not in serves:
            continue
        joined = dict(nets)
        if _bind(view, pattern, joined, variable, net):
            yield from _joins_by_role(view, pattern, rest, part, joined, used | {pin})


def _bind(view: View, pattern: Pattern, nets: dict[str, str], variable: str, net: str) -> bool:
    """Set a net variable; False where it is another net already, or the net does not meet its conditions."""
    if variable in nets:
        return nets[variable] == net
    if variable not in pattern.loose and any(
        other == net and name not in pattern.loose for name, other in nets.items()
    ):
        return False
    if not all(test(view, net) for test in pattern.nets.get(variable, ())):
        return False
    nets[variable] = net
    return True


def _placed_chain(view: View, pattern: Pattern, one: Chain, partial: _Partial) -> Iterator[_Partial]:
    """Every run of parts with the counts asked, in the direction that its parts allow."""
    for run in chain_of(view, frozenset(one.counts)):
        members: dict[str, list[PlacedPart]] = {}
        for part, _, _ in run:
            members.setdefault(part.kind, []).append(part)
        if any(not least <= len(members.get(kind, ())) <= most for kind, (least, most) in one.counts.items()):
            continue
        references = frozenset(part.reference for part, _, _ in run)
        if references & partial.used:
            continue
        ends = (run[0][0].nets[run[0][1]], run[-1][0].nets[run[-1][2]])
        for start, end in _directions(run, ends):
            nets = dict(partial.nets)
            if _bind(view, pattern, nets, one.start, start) and _bind(view, pattern, nets, one.end, end):
                roles = {one.renamed.get(kind, kind): tuple(parts) for kind, parts in members.items()}
                yield _Partial({**partial.roles, **roles}, nets, partial.used | references)


def _directions(
    run: tuple[tuple[PlacedPart, str, str], ...], ends: tuple[str, str]
) -> tuple[tuple[str, str], ...]:
    """Ways to read a run from start to end: as its diodes point, both where it has none, neither where they disagree."""
    ways = {enters == "anode" for part, enters, _ in run if part.kind not in SWAPS and "anode" in part.nets}
    if len(ways) > 1:
        return ()
    if not ways:
        return (ends, ends[::-1])
    return (ends,) if True in ways else (ends[::-1],)


def _match(view: View, pattern: Pattern, laid: _Partial, known: Known) -> Match:
    """The finished match, with what it explains."""
    required: set[str] = set()
    optional: set[str] = set()
    for one in pattern.roles:
        names = [one.renamed.get(kind, kind) for kind in one.counts] if isinstance(one, Chain) else [one.name]
        references = {part.reference for name in names for part in laid.roles.get(name, ())}
        if isinstance(one, Role) and one.shared:
            continue
        (optional if isinstance(one, Role) and one.optional else required).update(references)
    return Match(
        view=view,
        roles=laid.roles,
        nets=laid.nets,
        required=frozenset(required),
        optional=frozenset(optional),
        known=known,
    )
