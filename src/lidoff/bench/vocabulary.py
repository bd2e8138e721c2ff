"""The words that forms offer: kinds of part and of claim, packages, what strokes say, and the rest."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from lidoff.bench.models import Closed

if TYPE_CHECKING:
    from lidoff.board import LandPattern

__all__ = ["Vocabulary", "vocabulary"]


class ParameterWord(Closed):
    """One value that a kind of part has; one that is `needed` has no typical value to stand in for it."""

    name: str
    title: str
    unit: str
    main: bool
    needed: bool
    words: list[str]


class KindWord(Closed):
    """One kind of part."""

    name: str
    title: str
    pins: list[str]
    prefix: str
    says: str
    parameters: list[ParameterWord]


class RoleWord(Closed):
    """One input of a claim's sum."""

    name: str
    title: str
    unit: str


class ClaimWord(Closed):
    """One kind of claim; `roles` are those of any of its ways, `ways` name the roles of each."""

    name: str
    title: str
    says: str
    roles: list[RoleWord]
    ways: list[list[str]]
    unit: str
    sense: str
    words: list[str]


class PackageWord(Closed):
    """One package that a part comes in.

    `clicks` are the lands whose middles place it, one name twice where a second place only tells the turn; these lie `span_mm`
    apart, and clicks at least `least_mm` and at most `most_mm`; `bent` leads are bent to any of these.
    """

    name: str
    title: str
    pins: list[str]
    clicks: list[str]
    span_mm: float
    least_mm: float
    most_mm: float
    bent: bool


class StrokeWord(Closed):
    """One thing that a stroke may say of the photo beneath it."""

    says: str
    title: str


class Vocabulary(Closed):
    """All words that forms offer; `written_out` gives the pins that the trade abbreviates on lands."""

    kinds: list[KindWord]
    claim_kinds: list[ClaimWord]
    measures: list[str]
    senses: list[str]
    cautions: list[str]
    packages: list[PackageWord]
    stroke_words: list[StrokeWord]
    written_out: dict[str, str]


@cache
def vocabulary() -> Vocabulary:
    """All words, from the rooms that know them."""
    from lidoff.board import BRIDGE, CLASSES, CUT, all_packages
    from lidoff.circuit import Part, all_kinds
    from lidoff.dossier.net_names import ABBREVIATED_LANDS
    from lidoff.evidence import CAUTIONS, MEASURES, SENSES, all_claim_kinds

    kinds = []
    for name, kind in all_kinds().items():
        parameters = kind.parameters_of(Part(reference="X", kind=name, pins={}))
        kinds.append(
            KindWord(
                name=name,
                title=kind.title,
                pins=list(kind.pins),
                prefix=kind.letters[0] if kind.letters else "",
                says=kind.says,
                parameters=[
                    ParameterWord(
                        name=one.name,
                        title=one.says or one.name.replace("_", " "),
                        unit=one.unit,
                        main=one.name == kind.main_value,
                        needed=one.typical is None,
                        words=list(one.words),
                    )
                    for one in parameters.values()
                ],
            )
        )
    claims = []
    for name, claim in all_claim_kinds().items():
        roles = {role.name: role for way in claim.ways for role in way.inputs}
        claims.append(
            ClaimWord(
                name=name,
                title=claim.title,
                says=claim.says,
                roles=[RoleWord(name=one.name, title=one.title, unit=one.unit) for one in roles.values()],
                ways=[[role.name for role in way.inputs] for way in claim.ways],
                unit=claim.unit,
                sense=claim.sense,
                words=list(claim.named),
            )
        )
    strokes = {
        CUT: "cut: no copper joins here",
        BRIDGE: "bridge: copper joins here",
        **{word: word for word in CLASSES},
    }
    return Vocabulary(
        kinds=kinds,
        claim_kinds=claims,
        measures=list(MEASURES),
        senses=list(SENSES),
        cautions=sorted(CAUTIONS),
        packages=[_package(one) for one in all_packages().values()],
        stroke_words=[StrokeWord(says=says, title=title) for says, title in strokes.items()],
        written_out=dict(ABBREVIATED_LANDS),
    )


def _package(pattern: LandPattern) -> PackageWord:
    from lidoff.board import click_span

    span = click_span(pattern)
    return PackageWord(
        name=pattern.name,
        title=f"{pattern.name}, {pattern.family}",
        pins=list(pattern.pins),
        clicks=list(pattern.clicks),
        span_mm=round(span.own, 4),
        least_mm=round(span.least, 4),
        most_mm=round(span.most, 4),
        bent=pattern.stretches,
    )
