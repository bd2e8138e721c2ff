"""How well the circuit as traced fits all readings: the one χ² that is told of it, with what chance makes of it.

The sum is that from which slips are said to lower it (see `lidoff.insight.sifting`): every number read, tolerances with their
common causes counted where the readings draw the parameters. `lidoff.insight.misfit` is its first order round the written
values, for tints and for edits that must be answered at once.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from lidoff.circuit import Circuit, Situation
from lidoff.insight.bending import with_bends
from lidoff.insight.likelihood import shows_number
from lidoff.insight.misfit import ReadingStrain
from lidoff.insight.scene import Scene, scene_of
from lidoff.insight.sifting import Traced, traced_of
from lidoff.insight.watched import Watched

__all__ = ["FitAsTraced", "chance_of_worst", "fit_as_traced", "held_as_traced", "strains_as_traced"]


@dataclass(frozen=True, slots=True, kw_only=True)
class FitAsTraced:
    """All numbers read against the circuit as traced.

    Attributes
    ----------
    chi_square : float
        Misfit of all of them together.
    readings : int
        How many they are, the degrees of freedom.
    chance : float
        Probability of as large a χ² by chance, if circuit and tolerances are true.
    strains : tuple of ReadingStrain
        How far each lies from what circuit and all other readings predict, the farthest first.
    """

    chi_square: float
    readings: int
    chance: float
    strains: tuple[ReadingStrain, ...]


def fit_as_traced(
    circuit: Circuit, situations: Sequence[Situation], watched: Sequence[Watched]
) -> FitAsTraced:
    """Fit of all numbers read with the circuit as traced.

    Parameters
    ----------
    circuit : Circuit
    situations : sequence of Situation
        Of the dossier.
    watched : sequence of Watched
        All readings of the circuit, powered and dead; beeps and signs count in no χ².

    Returns
    -------
    FitAsTraced
        With no numbers, a χ² of zero and a chance of one.
    """
    from scipy.special import chdtrc

    scene, traced = held_as_traced(circuit, situations, watched)
    strains = _strains(scene, traced)
    return FitAsTraced(
        chi_square=traced.chi_square,
        readings=len(strains),
        chance=float(chdtrc(len(strains), traced.chi_square)) if strains else 1.0,
        strains=strains,
    )


def strains_as_traced(scene: Scene) -> tuple[ReadingStrain, ...]:
    """How far each number read lies from what circuit and all other readings predict, the farthest first.

    Parameters
    ----------
    scene : Scene
        Circuit and readings, such as that of a ranking of slips.

    Returns
    -------
    tuple of ReadingStrain
        One for each number read.
    """
    return _strains(scene, traced_of(scene))


def _strains(scene: Scene, traced: Traced) -> tuple[ReadingStrain, ...]:
    strains = [
        ReadingStrain(reading=one.name, score=float(score))
        for one, score in zip(scene.watched, traced.scores, strict=True)
        if shows_number(one)
    ]
    return tuple(sorted(strains, key=lambda one: (-abs(one.score), one.reading)))


def held_as_traced(
    circuit: Circuit, situations: Sequence[Situation], watched: Sequence[Watched]
) -> tuple[Scene, Traced]:
    """Scene of circuit and readings, and how the circuit as traced fits them."""
    scene = with_bends(scene_of(circuit, situations, watched))
    return scene, traced_of(scene)


def chance_of_worst(score: float, readings: int) -> float:
    """Probability that the worst of so many true readings lies as far off by chance.

    Parameters
    ----------
    score : float
        How far the worst lies off, in standard deviations.
    readings : int
        Among how many it is the worst.

    Returns
    -------
    float
        1 − (1 − p)ⁿ with p of one reading by itself, both sides of a normal distribution (Z. Šidák, "Rectangular confidence
        regions for the means of multivariate normal distributions", J. American Statistical Association 62, 626-633, 1967);
        at least as large as that of readings with common causes.

    Examples
    --------
    >>> round(chance_of_worst(3.0, 12), 3)
    0.032
    """
    alone = math.erfc(abs(score) / 2.0**0.5)
    return 1.0 if alone >= 1.0 else -math.expm1(readings * math.log1p(-alone))
