"""What stands between the mains and what can be touched: conducting parts, capacitors, or insulation of a told distance."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from lidoff.circuit import Part, kind_of
from lidoff.hazards.check import Hazard, HazardCheck
from lidoff.hazards.joins import Way, dangerous_nets, joined_to, way_between
from lidoff.hazards.limits import FROM_MEMORY
from lidoff.hazards.subject import Subject
from lidoff.hazards.words import listed

__all__ = ["MEMBERS", "bridging_class"]

SOURCE = f"IEC 61140:2016, classes of protection; IEC 60384-14, capacitors across insulation ({FROM_MEMORY})"
_CLASS = re.compile(r"\bY([1-4])\b")


def bridging_class(part: Part) -> str:
    """Class of a capacitor made to bridge insulation, such as ``Y1``, as printed; empty where none is.

    Examples
    --------
    >>> bridging_class(Part(reference="C1", kind="capacitor", pins={}, marking="2n2 X1 Y2 250V~"))
    'Y2'
    """
    found = _CLASS.search(f"{part.marking} {part.package}")
    return f"Y{found[1]}" if found else ""


def _look(subject: Subject) -> tuple[Hazard, ...]:
    mains = dangerous_nets(subject.circuit)
    if not mains:
        return ()
    between = (hazard for net in subject.accessible for hazard in _between(subject, mains, net))
    return (*_class(subject), *_likewise(subject, between), *_none(subject))


def _likewise(subject: Subject, hazards: Iterable[Hazard]) -> Iterator[Hazard]:
    """Nets that are joined to the mains by the same first part are one answer; the first is told in full."""
    groups: dict[tuple[object, ...], list[Hazard]] = {}
    for one in hazards:
        groups.setdefault((one.outcome, one.parts[:1] or one.nets), []).append(one)
    for first, *others in groups.values():
        nets = [net for one in others for net in one.nets]
        names = [subject.touchable(net) for net in nets]
        yield (
            first
            if not nets
            else replace(
                first, what=f"{first.what} The same goes for {listed(names)}.", nets=(*first.nets, *nets)
            )
        )


def _class(subject: Subject) -> Iterator[Hazard]:
    if subject.protection_class == "III":
        yield _hazard(
            "class III, and fed from the mains",
            "The device is marked as class III, which is fed with extra-low voltage only, and its circuit has a supply of "
            "mains voltage.",
            outcome="beyond the limit",
            remedy="look whether the mark belongs to a part of it; treat everything inside as live",
        )


def _none(subject: Subject) -> Iterator[Hazard]:
    if not subject.accessible:
        yield _hazard(
            "insulation between mains and hand",
            "The mains feed the circuit, and the dossier tells no net that can be touched, so what stands between was not "
            "looked at.",
            severity="note",
            remedy='name the nets that can be touched: accessible = ["…"]; where there is none but the case, measure its '
            "thickness and look for gaps",
        )


def _hazard(
    title: str,
    what: str,
    *,
    outcome: str = "cannot tell",
    severity: str = "fault",
    nets: Sequence[str] = (),
    parts: Sequence[str] = (),
    remedy: str = "",
) -> Hazard:
    return Hazard(
        check="barrier",
        title=title,
        outcome=outcome,  # type: ignore[arg-type]
        severity=severity,  # type: ignore[arg-type]
        what=what,
        source=SOURCE,
        from_memory=True,
        assumed=("either pin of the plug may be live",),
        nets=tuple(nets),
        parts=tuple(parts),
        remedy=remedy,
    )


def _between(subject: Subject, mains: Sequence[str], net: str) -> Iterator[Hazard]:
    way = way_between(subject.circuit, mains, net)
    yield _known(subject, mains, net, way)
    if way is None or way.capacitors:
        yield from _unknown(subject, mains, net)


def _unknown(subject: Subject, mains: Sequence[str], net: str) -> Iterator[Hazard]:
    """A part of unknown content with pins on both sides, of which nothing tells whether it is a barrier."""
    near = joined_to(subject.circuit, (net,)) | {net}
    side = joined_to(subject.circuit, mains) | set(mains)
    boxes = [
        part.reference
        for part in subject.circuit.parts
        if kind_of(part).unknown and side & set(part.pins.values()) and near & set(part.pins.values())
    ]
    if not boxes:
        way = way_between(subject.circuit, mains, net, through_unknown=True)
        boxes = list(way.unknown) if way is not None else []
    if boxes:
        several = len(boxes) > 1
        yield _hazard(
            f"what {listed(boxes)} join{'' if several else 's'} between mains and {subject.touchable(net)}",
            f"{listed(boxes)} {'reach' if several else 'reaches'} from the mains to "
            f"{subject.touchable(net)}, which can be touched, and what is inside is not known, "
            f"so whether {'they are' if several else 'it is'} a barrier cannot be told.",
            nets=(net,),
            parts=boxes,
            remedy="tell what it is (a transformer, an optocoupler), or measure its resistance from side to side without power "
            "and tell it; until then treat the net as live",
        )


def _known(subject: Subject, mains: Sequence[str], net: str, way: Way | None) -> Hazard:
    if way is None:
        return _insulated(subject, mains, net)
    if not way.capacitors:
        through = f"through {listed(way.parts)}" if way.parts else "as it is one of its poles"
        return _hazard(
            f"{subject.touchable(net)}, within reach, conducts to the mains",
            f"{subject.the_touchable(net)} can be touched and is joined to the mains {through}.",
            outcome="beyond the limit",
            nets=(net,),
            parts=way.parts,
            remedy="treat it as live; the touch current says how much passes, and a resistor is no barrier unless made for it",
        )
    return _through_capacitors(subject, net, way)


def _through_capacitors(subject: Subject, net: str, way: Way) -> Hazard:
    """A Y1 capacitor, or two of a lower class in a row, may bridge reinforced insulation; one Y2 basic insulation."""
    classes = {name: bridging_class(subject.circuit.part(name)) for name in way.capacitors}
    bare = [name for name, told in classes.items() if not told]
    basic = subject.protection_class == "I"
    enough = not bare and (basic or "Y1" in classes.values() or len(classes) > 1)
    printed = listed([f"{name} ({told or 'no Y class printed'})" for name, told in classes.items()])
    what = f"{subject.the_touchable(net)} can be touched and is coupled to the mains through {printed}"
    what += "." if way.parts == way.capacitors else f", in a way through {listed(way.parts)}."
    if enough:
        return _hazard(
            f"capacitors between mains and {subject.touchable(net)}",
            what,
            outcome="within the limit",
            nets=(net,),
            parts=way.capacitors,
        )
    asked = "a Y2 capacitor at least" if basic else "a Y1 capacitor, or two of class Y2 in a row,"
    return _hazard(
        f"{listed(way.capacitors)} between mains and {subject.touchable(net)} not made for it",
        f"{what} For this place {asked} is asked"
        + ("" if subject.protection_class else " where no protective earth is told")
        + ".",
        outcome="beyond the limit",
        nets=(net,),
        parts=way.capacitors,
        remedy="look for a Y class on the body; without one, treat the net as live",
    )


def _insulated(subject: Subject, mains: Sequence[str], net: str) -> Hazard:
    side = joined_to(subject.circuit, mains)
    near = joined_to(subject.circuit, (net,)) | {net}
    basic = subject.protection_class == "I"
    told = [one for one in subject.distances if (set(one.between) & side) and (set(one.between) & near)]
    enough = [one for one in told if basic or one.insulation == "reinforced"]
    if enough:
        return _hazard(
            f"insulation between mains and {subject.touchable(net)}",
            f"Nothing that is known of the circuit joins {subject.touchable(net)} to the mains; the distance "
            f"{listed([one.name for one in enough])} is held against {'basic' if basic else 'reinforced'} insulation.",
            outcome="within the limit",
            severity="caution",
            nets=(net,),
        )
    asked = "basic" if basic else "reinforced"
    return _hazard(
        f"insulation between mains and {subject.touchable(net)}",
        f"Nothing that is known of the circuit joins {subject.touchable(net)} to the mains, "
        + (
            f"but the distance {listed([one.name for one in told])} is told as basic insulation, where {asked} is asked."
            if told
            else f"but no distance between the two sides is told, where {asked} insulation is asked."
        ),
        severity="caution",
        nets=(net,),
        remedy=f'measure it at its narrowest and add a distance with insulation = "{asked}"',
    )


MEMBERS = (
    HazardCheck(
        name="barrier",
        title="Barrier between mains and hand",
        look=_look,
        says="What joins each net that can be touched to the mains: parts, capacitors, or insulation of a told distance.",
        source=SOURCE,
        cautions=("mains",),
        not_checked=(
            "insulation of transformers and optocouplers from within",
            "the case: its gaps, its thickness, and what a finger reaches",
            "whether a protective earth holds",
        ),
    ),
)
