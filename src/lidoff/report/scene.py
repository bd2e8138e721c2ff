"""What a still is, and the scenes that stills come from: an open family in ``scenes``."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cache

from lidoff.catalogue import catalogue
from lidoff.dossier import Analysis
from lidoff.errors import UnknownName
from lidoff.report.boards import BoardView
from lidoff.report.stage import Stage

__all__ = ["Scene", "Still", "Story", "all_scenes", "missing_scenes", "stills_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """What stills tell of.

    Attributes
    ----------
    analysis : Analysis
    boards : tuple of BoardView
        Traced boards, as far as the dossier has them.
    """

    analysis: Analysis
    boards: tuple[BoardView, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """One picture of a walk through a device.

    Attributes
    ----------
    name : str
        Unique; begins with the name of its scene.
    caption : str
        Written above the picture.
    alt : str
        What the picture shows, for those who do not see it.
    paint : callable (Stage, str) → str
        SVG elements of the picture, for a stage and the caption that stands over it.
    aside : str
        Small print below, such as what a ± means.
    bare : bool
        Whether the picture brings its own heading, so that no caption stands over it.
    """

    name: str
    caption: str
    alt: str
    paint: Callable[[Stage, str], str]
    aside: str = ""
    bare: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """One kind of still.

    Attributes
    ----------
    name : str
        By which the dossier orders it.
    place : int
        Scenes stand in the order of this number where the dossier names no order.
    build : callable (Story) → tuple of Still
        Pure; nothing where there is nothing to show.
    says : str
        One sentence on what it shows.
    needs : str
        What a dossier needs for it, told where there is nothing to show.
    """

    name: str
    place: int
    build: Callable[[Story], tuple[Still, ...]]
    says: str
    needs: str


@cache
def all_scenes() -> Mapping[str, Scene]:
    """Every scene by name, sorted."""
    from lidoff.report import scenes

    return catalogue(scenes, of=Scene)


def stills_of(story: Story) -> tuple[Still, ...]:
    """Stills in the order of the dossier, or in the usual order where it names none.

    Parameters
    ----------
    story : Story

    Returns
    -------
    tuple of Still
        Each with the caption that the dossier gives it.

    Raises
    ------
    UnknownName
        The dossier orders or captions a still that there cannot be; the error names those there are.
    """
    publication = story.analysis.dossier.publication
    scenes = sorted(all_scenes().values(), key=lambda scene: (scene.place, scene.name))
    built = {scene.name: scene.build(story) for scene in scenes}
    every = {still.name: still for stills in built.values() for still in stills}
    _refuse_unknown((*publication.stills, *publication.captions), every)
    chosen = (
        [still for name in publication.stills for still in (built.get(name) or _one(every, name))]
        if publication.stills
        else list(every.values())
    )
    return tuple(
        replace(still, caption=publication.captions.get(still.name, still.caption)) for still in chosen
    )


def missing_scenes(story: Story) -> tuple[Scene, ...]:
    """Scenes of which there is nothing to show, in their order.

    Parameters
    ----------
    story : Story

    Returns
    -------
    tuple of Scene
        Each tells what it would need.
    """
    scenes = sorted(all_scenes().values(), key=lambda scene: (scene.place, scene.name))
    return tuple(scene for scene in scenes if not scene.build(story))


def _one(every: Mapping[str, Still], name: str) -> tuple[Still, ...]:
    return (every[name],) if name in every else ()


def _refuse_unknown(names: tuple[str, ...], every: Mapping[str, Still]) -> None:
    known = {*all_scenes(), *every}
    for name in names:
        if name not in known:
            raise UnknownName(f"there is no still {name!r}", name=name, known=sorted(known))
