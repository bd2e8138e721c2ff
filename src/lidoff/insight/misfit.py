"""How well the circuit as traced explains all readings together, which parts strain most, and their tint on a drawing.

The misfit is ``χ² = rᵀ C⁻¹ r`` over all situations, ``C`` holding the instruments and the tolerances with their common
causes (see `lidoff.insight.knowledge`); with R readings and a true circuit it is distributed as chi-square with R degrees
of freedom. How much a part strains is the fall of ``χ²`` if its own values were free, the score test [1]_:
``gᵀ (JᵀC⁻¹J)⁻¹ g`` over the part's parameters, ``g = JᵀC⁻¹ r``. How much a reading strains is its difference from what all
the others predict [2]_: ``(C⁻¹r)ᵢ / √(C⁻¹)ᵢᵢ``.

References
----------
.. [1] C. R. Rao, "Large sample tests of statistical hypotheses concerning several parameters with applications to problems of
   estimation", Proc. Cambridge Philosophical Society 44, 50-57, 1948.
.. [2] C. E. Rasmussen, C. K. I. Williams, *Gaussian Processes for Machine Learning*, MIT Press, 2006, eqs. (5.10)-(5.12).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit import Spreading
from lidoff.circuit.kind import Array
from lidoff.insight.knowledge import Knowledge, Seen, knowledge_of, stacked
from lidoff.schematic import Group

__all__ = ["Misfit", "PartStrain", "ReadingStrain", "misfit_of", "tinted_groups", "tints_of"]

STRAINS_FROM = 4.0
"""Fall of χ² from which a part counts as strained: two standard deviations; convention."""
MISFITS_FROM = 9.0
"""Fall of χ² from which it counts as a misfit: three standard deviations; convention."""
DOUBTED_BELOW = 0.01
"""Probability of as large a χ² by chance below which the circuit as traced is doubted; convention."""
TINTS: tuple[tuple[float, str], ...] = ((MISFITS_FROM, "#e8b49f"), (STRAINS_FROM, "#f3ddb3"))
"""Tint of a part by the fall of χ² from which it holds; ours."""
LEAST_CURVATURE = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class PartStrain:
    """How much one part's values are strained by the readings.

    Attributes
    ----------
    reference : str
        The part.
    fall : float
        By how much χ² falls if the part's values may be anything.
    parameter : str
        The one that would move most.
    pull : float
        Where the readings draw that parameter within its tolerance, in its prior deviations.
    """

    reference: str
    fall: float
    parameter: str
    pull: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingStrain:
    """How far one reading lies from what the circuit and all other readings predict for it.

    Attributes
    ----------
    reading : str
        Its name.
    score : float
        Read minus predicted, in standard deviations.
    """

    reading: str
    score: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Misfit:
    """All readings against the circuit as traced.

    Attributes
    ----------
    chi_square : float
        Over all readings, common causes included.
    readings : int
        Number of readings, the degrees of freedom.
    p_value : float
        Probability of as large a χ² by chance, if circuit and tolerances are true.
    parts : tuple of PartStrain
        The most strained first.
    strains : tuple of ReadingStrain
        The most strained first.
    knowledge : Knowledge
        What the readings say of the values.
    """

    chi_square: float
    readings: int
    p_value: float
    parts: tuple[PartStrain, ...]
    strains: tuple[ReadingStrain, ...]
    knowledge: Knowledge

    @property
    def doubted(self) -> bool:
        """Whether the circuit as traced is unlikely to be the whole truth."""
        return self.p_value < DOUBTED_BELOW


def misfit_of(spreading: Spreading, seen: Sequence[Seen]) -> Misfit:
    """Misfit of all readings together.

    Parameters
    ----------
    spreading : Spreading
        All situations solved with their spread.
    seen : sequence of Seen
        Readings, from any of the situations.

    Returns
    -------
    Misfit
        With no readings, a χ² of zero and a probability of one.
    """
    knowledge = knowledge_of(spreading, seen)
    if not seen:
        return Misfit(chi_square=0.0, readings=0, p_value=1.0, parts=(), strains=(), knowledge=knowledge)
    from scipy.special import chdtrc

    residuals, slopes, covariance = stacked(seen, len(spreading.parameters))
    inverse = np.asarray(np.linalg.inv(covariance), dtype=np.float64)
    weighted = inverse @ residuals
    chi_square = float(residuals @ weighted)
    scores = weighted / np.sqrt(np.diag(inverse))
    strains = [ReadingStrain(reading=one.name, score=float(s)) for one, s in zip(seen, scores, strict=True)]
    return Misfit(
        chi_square=chi_square,
        readings=len(seen),
        p_value=float(chdtrc(len(seen), chi_square)),
        parts=_part_strains(spreading.parameters, slopes, inverse, weighted, knowledge.moved),
        strains=tuple(sorted(strains, key=lambda one: (-abs(one.score), one.reading))),
        knowledge=knowledge,
    )


def _part_strains(
    parameters: Sequence[tuple[str, str]], slopes: Array, inverse: Array, weighted: Array, moved: Array
) -> tuple[PartStrain, ...]:
    gradient = slopes.T @ weighted
    curvature = slopes.T @ inverse @ slopes
    found = []
    for reference in sorted({one for one, _ in parameters}):
        own = [
            k
            for k, (part, _) in enumerate(parameters)
            if part == reference and curvature[k, k] > LEAST_CURVATURE
        ]
        if not own:
            continue
        # Parameters that act alike leave the block singular; its pseudo-inverse counts them once.
        block = np.linalg.pinv(curvature[np.ix_(own, own)], rcond=1e-8, hermitian=True)
        strongest = max(own, key=lambda k: gradient[k] ** 2 / curvature[k, k])
        found.append(
            PartStrain(
                reference=reference,
                fall=float(gradient[own] @ block @ gradient[own]),
                parameter=parameters[strongest][1],
                pull=float(moved[strongest]),
            )
        )
    return tuple(sorted(found, key=lambda one: (-one.fall, one.reference)))


def tints_of(misfit: Misfit) -> Mapping[str, str]:
    """Tint of each part that strains, for a drawing.

    Parameters
    ----------
    misfit : Misfit
        Of the circuit that is drawn.

    Returns
    -------
    mapping of str to str
        By reference, ``#rrggbb``; parts that agree with the readings are left out.
    """
    tints = {}
    for part in misfit.parts:
        tint = next((colour for least, colour in TINTS if part.fall >= least), None)
        if tint is not None:
            tints[part.reference] = tint
    return tints


def tinted_groups(misfit: Misfit) -> tuple[Group, ...]:
    """Groups of one part each that tint a drawing by misfit, the most strained first.

    Parameters
    ----------
    misfit : Misfit
        Of the circuit that is drawn.

    Returns
    -------
    tuple of Group
        Each captioned with the number of standard deviations.
    """
    tints = tints_of(misfit)
    return tuple(
        Group(parts=(part.reference,), caption=f"{part.fall**0.5:.1f} σ", tint=tints[part.reference])
        for part in misfit.parts
        if part.reference in tints
    )
