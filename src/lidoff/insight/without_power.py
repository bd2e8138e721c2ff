"""What a meter should show on the circuit without power, for each reading taken so, with what the tolerances leave open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from lidoff.circuit import Circuit, Situation
from lidoff.insight.bending import with_bends
from lidoff.insight.foretold import tell
from lidoff.insight.likelihood import THRESHOLD_SPREAD, noise_of
from lidoff.insight.scene import scene_of
from lidoff.insight.variant import AS_TRACED
from lidoff.insight.watched import DeadTest, Watched
from lidoff.quantities import Quantity

__all__ = ["Foreseen", "foreseen_without_power"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Foreseen:
    """What one reading without power should show.

    Attributes
    ----------
    shown : Quantity
        With the spread that part tolerances, the meter's own test current and its leads give.
    over_range : bool
        Whether that lies beyond the range; then the number only tells how far.
    end : Quantity
        End of the range, with what is known of it.
    slopes : mapping of (str, str) to float
        Change for one standard deviation of each uncertain parameter.
    """

    shown: Quantity
    over_range: bool
    end: Quantity
    slopes: Mapping[tuple[str, str], float]

    @property
    def causes(self) -> Mapping[str, float]:
        """Shares of the variance by ``reference.parameter``, largest first."""
        total = self.shown.uncertainty**2
        shares = {f"{part}.{name}": slope**2 / total for (part, name), slope in self.slopes.items() if slope}
        return dict(sorted(shares.items(), key=lambda item: -item[1]))


def foreseen_without_power(
    circuit: Circuit, situations: Sequence[Situation], watched: Sequence[Watched]
) -> Mapping[str, Foreseen]:
    """Predict readings without power on the circuit as traced.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : sequence of Situation
        Whose switch positions hold for the readings that name one.
    watched : sequence of Watched
        Readings; those of the powered circuit are left out.

    Returns
    -------
    mapping of str to Foreseen
        By the reading's name, those whose operating point was found.
    """
    dead = [one for one in watched if isinstance(one.target, DeadTest)]
    if not dead:
        return {}
    scene = with_bends(scene_of(circuit, situations, dead))
    told = tell(scene, [AS_TRACED])
    blank = np.zeros((1, len(scene.watched)))
    noise = noise_of(scene.watched, told.values, blank, told.settled)[0]
    found = {}
    for k, one in enumerate(scene.watched):
        if not told.settled[0, k] or not isinstance(one.target, DeadTest):
            continue
        value, slopes, end = float(told.values[0, k]), told.slopes[0, k], one.target.meter.highest
        found[one.name] = Foreseen(
            shown=Quantity(value, one.target.unit, float(np.sqrt(noise[k] + (slopes**2).sum()))),
            over_range=value > end,
            end=Quantity(end, one.target.unit, THRESHOLD_SPREAD * end),
            slopes={
                (reference, name): float(slope)
                for (reference, name, _), slope in zip(scene.tolerances.parameters, slopes, strict=True)
            },
        )
    return found
