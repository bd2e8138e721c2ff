"""A quick estimate of every slip, so that only those that may explain something are solved in full.

A part more between two nets changes a solved circuit by one current: with ``Z`` the inverse of the
Jacobian and ``λ = c Z`` of a reading, a resistance ``R`` between nets a and b carries ``i = v_ab/(R + Z_ab)`` and moves the
reading by ``−(λ_a − λ_b) i`` (Woodbury's formula for one column [1]_). All other slips are solved, but only where the circuit
as traced fits worst, and without slopes.

References
----------
.. [1] G. H. Golub, C. F. Van Loan, *Matrix Computations*, 4th ed., Johns Hopkins, 2013, section 2.1.4.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from lidoff.circuit.kind import Array
from lidoff.insight.foretold import Told, tell
from lidoff.insight.likelihood import (
    factors_of,
    inverted,
    log_likelihoods,
    noise_of,
    read_values,
    shows_number,
    sign_logarithms,
    whitened,
)
from lidoff.insight.many_wirings import linearised
from lidoff.insight.predicting import asked
from lidoff.insight.refining import refined
from lidoff.insight.scene import Bundle, Scene, wirings_of
from lidoff.insight.slip import Slip
from lidoff.insight.variant import AS_TRACED, Variant
from lidoff.insight.watched import DeadTest, Watched

__all__ = ["Sifted", "Traced", "sifted", "solved_as_traced", "traced_of"]

LOOKED_AT_AGAIN = (6.0, 4.0, 3.0, 2.0)
"""Times as many slips as are kept: those that do best at the worst point and are solved at the next, and so on; our choice."""
NEAR_PAIRS = 80
"""Pairs of nets between which a missed part promises most, and is solved for; our choice."""
WORST_TESTS = 2
"""Dead tests among them; our choice."""
DIODE_DROP, DIODE_OHMS = 0.6, 10.0
"""What a missed diode is taken for in the estimate [V], [Ω]; common practice, no source."""
FREEDOM = 3.0
"""Degrees of freedom of Student's distribution by which single misfits are bounded; our choice."""
DOUBT = 0.1
"""Share of a change of a reading by which the estimate may be wrong; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Traced:
    """The circuit as traced against all readings.

    Attributes
    ----------
    told : Told
        Predictions, one row.
    scores : ndarray of shape (R,)
        How far each reading is from what all others predict, in standard deviations; 0 for beeps that agree.
    chi_square : float
        Of the displayed numbers.
    """

    told: Told
    scores: Array
    chi_square: float


def traced_of(scene: Scene) -> Traced:
    """Predictions of the circuit as traced, and how well they fit."""
    _, told = refined(scene, tell(scene, [AS_TRACED]), [AS_TRACED])
    watched = scene.watched
    scores = np.zeros(len(watched))
    numbers = [k for k, one in enumerate(watched) if shows_number(one)]
    chi_square = 0.0
    if numbers:
        read, deviations = read_values(watched, [AS_TRACED])
        off = np.where(told.settled, read - told.values, 0.0)[0, numbers]
        noise = noise_of(watched, told.values, deviations, told.settled)[0, numbers]
        slopes = told.slopes[0, numbers]
        inverse = inverted(slopes @ slopes.T + np.diag(noise))
        scores[numbers] = (inverse @ off) / np.sqrt(np.diag(inverse))
        chi_square = float(off @ inverse @ off)
    for k, one in enumerate(watched):
        if k not in numbers:
            alone = Told(values=told.values[:, [k]], slopes=told.slopes[:, [k]], settled=told.settled[:, [k]])
            # A surprise counts as many standard deviations as make a number equally unlikely.
            scores[k] = np.sqrt(-2.0 * log_likelihoods([one], alone, [AS_TRACED])[0])
    return Traced(told=told, scores=scores, chi_square=chi_square)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sifted:
    """What is left of many slips.

    Attributes
    ----------
    kept : tuple of Slip
        The most promising.
    unseen : float
        Odds of all others together, each times what it seems to make of the likelihood of the readings, if that falls.
    """

    kept: tuple[Slip, ...]
    unseen: float


def sifted(scene: Scene, traced: Traced, slips: Sequence[Slip], most: int) -> Sifted:
    """Slips that promise most, by odds and estimated likelihood.

    Parameters
    ----------
    scene : Scene
        Circuit and readings.
    traced : Traced
        As it stands.
    slips : sequence of Slip
        All.
    most : int
        How many are kept.

    Returns
    -------
    Sifted
        The best of the many kinds, and all of the others if there is room.
    """
    if not scene.watched:
        order = sorted(slips, key=lambda slip: -slip.odds)
        return Sifted(kept=tuple(order[:most]), unseen=sum(slip.odds for slip in order[most:]))
    scores = np.full((2, len(slips)), -np.inf)
    odds = np.log([slip.odds for slip in slips])
    joined = np.array([bool(slip.variant.added) for slip in slips])
    of_meter = np.array([not slip.variant.rewires for slip in slips])
    solved = np.logical_not(joined | of_meter)
    going = of_meter.copy()
    if joined.any():
        own = [slip for slip, chosen in zip(slips, joined, strict=True) if chosen]
        estimated = _estimated(scene, traced, own)
        scores[:, joined] = estimated
        near = _near(own, estimated + odds[joined])
        solved[np.flatnonzero(joined)[near]] = True
    if of_meter.any():
        scores[:, of_meter] = _of_meter(scene, traced, [slips[k] for k in np.flatnonzero(of_meter).tolist()])
    if solved.any():
        own = [slips[k] for k in np.flatnonzero(solved).tolist()]
        scores[:, solved], last = _solved_where_worst(scene, traced, own, most)
        going[np.flatnonzero(solved)[last]] = True
    total = np.where(going, scores + odds, -np.inf)
    kept = [k for k in _best(total, most) if np.isfinite(total[:, k]).any()]
    left = np.delete(np.minimum(scores[0], 0.0) + odds, kept)
    return Sifted(kept=tuple(slips[k] for k in kept), unseen=float(np.exp(left).sum()))


def _near(slips: Sequence[Slip], scores: Array) -> NDArray[np.intp]:
    """Which missed parts lie between the pairs of nets that promise most; of these all values are worth a look."""
    pairs: dict[tuple[str, ...], list[int]] = {}
    for k, slip in enumerate(slips):
        pairs.setdefault(tuple(sorted(slip.nets)), []).append(k)
    members = list(pairs.values())
    best = np.stack([scores[:, own].max(axis=1) for own in members], axis=1)
    return np.array(sorted(k for pair in _best(best, NEAR_PAIRS) for k in members[pair]), dtype=np.intp)


def _best(scores: Array, most: int) -> list[int]:
    """Best columns of scores (2, S), half by what fits all readings, half by what fits some and leaves the rest to a second."""
    kept: dict[int, None] = {}
    for ranks in zip(*np.argsort(-scores, axis=1), strict=True):
        kept.update(dict.fromkeys(int(k) for k in ranks))
        if len(kept) >= most:
            break
    return list(kept)[:most]


def _gain(
    scene: Scene, traced: Traced, told: Told, variants: Sequence[Variant], places: Sequence[int]
) -> Array:
    """Logarithm of the likelihood of some readings over that of the circuit as traced, with its slopes (2, V).

    The second row bounds what any one reading may count: Student's distribution in place of the normal one, each reading
    by itself.
    """
    watched = [scene.watched[place] for place in places]
    base = Told(
        values=traced.told.values[:, places],
        slopes=traced.told.slopes[:, places],
        settled=traced.told.settled[:, places],
    )
    change = np.where(told.settled, told.values - base.values, 0.0)
    plain = _by_slopes_as_traced(watched, base, base, np.zeros((1, len(places))), [AS_TRACED])
    found = _by_slopes_as_traced(watched, base, told, change, variants)
    return np.where(solved_as_traced(watched, told, base), found - plain, -np.inf)


def _by_slopes_as_traced(
    watched: Sequence[Watched], base: Told, told: Told, change: Array, variants: Sequence[Variant]
) -> Array:
    """Logarithms (2, V) of the likelihood and of its bounded sort.

    What the estimate may be wrong by, a share of the change (V, R), enters as one more uncertain parameter a variant. It makes
    the covariances differ by one rank, ``|C + b bᵀ| = |C| (1 + bᵀ C⁻¹ b)`` [1]_, so that one factor serves all variants.
    """
    numbers = [k for k, one in enumerate(watched) if shows_number(one)]
    result = np.zeros((2, len(variants)))
    for k, one in enumerate(watched):
        if k not in numbers:
            result += sign_logarithms(one, told.values[:, k], told.settled[:, k])
    if not numbers:
        return result
    read, deviations = read_values(watched, variants)
    result += np.log(np.abs(factors_of([watched[k] for k in numbers], variants))).sum(axis=1)
    slopes = base.slopes[0, numbers]
    doubt = DOUBT * change[:, numbers]
    off = np.where(told.settled, read - told.values, 0.0)[:, numbers]
    # The equations' own error by what was read, which the prediction of a slip that is worth keeping comes near to.
    noise = noise_of(watched, read, deviations, told.settled)[:, numbers]
    kinds, which = np.unique(noise, axis=0, return_inverse=True)
    for number, own in enumerate(kinds):
        rows = np.flatnonzero(which.ravel() == number)
        white, size = whitened(slopes @ slopes.T + np.diag(own), np.concatenate([off[rows], doubt[rows]]))
        misfit, along = white[: len(rows)], white[len(rows) :]
        more = 1.0 + (along**2).sum(axis=1)
        square = (misfit**2).sum(axis=1) - (misfit * along).sum(axis=1) ** 2 / more
        result[0, rows] -= 0.5 * (square + np.log(more)) + size
    variance = noise + (slopes**2).sum(axis=1) + doubt**2
    bounded = 0.5 * (FREEDOM + 1.0) * np.log1p(off**2 / variance / FREEDOM) + 0.5 * np.log(variance)
    result[1] -= bounded.sum(axis=1)
    return result


def solved_as_traced(watched: Sequence[Watched], told: Told, base: Told) -> NDArray[np.bool_]:
    """Variants (V,) of which an operating point was found wherever one was for the circuit as traced, in one row.

    Others cannot be held against the readings: either they have none, as where a source is shorted, or none was found. Dead
    tests have one always.
    """
    powered = [not isinstance(one.target, DeadTest) for one in watched]
    return np.asarray((told.settled | ~base.settled)[:, powered].all(axis=1), dtype=np.bool_)


def _solved_where_worst(
    scene: Scene, traced: Traced, slips: Sequence[Slip], most: int
) -> tuple[Array, list[int]]:
    """Gain (2, S) by the readings that fit worst: all slips at the worst point, the best of them at the next, and so on.

    Slips that are left behind keep the gain by which they were. Beside it, those that were not.
    """
    weight = np.log1p(traced.scores**2 / FREEDOM)
    tried = [_worst_tests(traced, bundle) for bundle in scene.bundles]
    tried.sort(key=lambda bundle: -float(weight[list(bundle.places)].sum()))
    variants = [slip.variant for slip in slips]
    odds = np.log([slip.odds for slip in slips])
    gain = np.full((2, len(slips)), -np.inf)
    going = list(range(len(slips)))
    values = np.zeros((len(slips), len(scene.watched)))
    settled = np.zeros(values.shape, dtype=bool)
    for looked_at, bundle in enumerate(tried[: len(LOOKED_AT_AGAIN) + 1], start=1):
        own = [variants[k] for k in going]
        told = tell(replace(scene, bundles=(bundle,)), own, with_slopes=False)
        new = list(bundle.places)
        values[np.ix_(going, new)], settled[np.ix_(going, new)] = told.values[:, new], told.settled[:, new]
        places = sorted({place for one in tried[:looked_at] for place in one.places})
        cut = Told(
            values=values[np.ix_(going, places)],
            slopes=np.zeros((len(going), len(places), 0)),
            settled=settled[np.ix_(going, places)],
        )
        gain[:, going] = _gain(scene, traced, cut, own, places)
        if looked_at <= len(LOOKED_AT_AGAIN):
            among = np.full(gain.shape, -np.inf)
            among[:, going] = gain[:, going] + odds[going]
            again = _best(among, round(LOOKED_AT_AGAIN[looked_at - 1] * most))
            going = [k for k in sorted(again) if np.isfinite(among[:, k]).any()]
        if not going:
            break
    return gain, going


def _of_meter(scene: Scene, traced: Traced, slips: Sequence[Slip]) -> Array:
    """Gain (2, S) of a meter's slips, which may lie in any reading, and cost nothing to weigh in full."""
    everything = list(range(len(scene.watched)))
    whole = Told(
        values=np.broadcast_to(traced.told.values, (len(slips), len(everything))),
        slopes=traced.told.slopes[:, :, :0],
        settled=np.broadcast_to(traced.told.settled, (len(slips), len(everything))),
    )
    return _gain(scene, traced, whole, [slip.variant for slip in slips], everything)


def _worst_tests(traced: Traced, bundle: Bundle) -> Bundle:
    """Bundle with the few dead tests that fit worst, since each is a solution of its own."""
    if not bundle.tests:
        return bundle
    order = sorted(range(len(bundle.places)), key=lambda k: -abs(traced.scores[bundle.places[k]]))
    kept = sorted(order[:WORST_TESTS])
    return replace(
        bundle,
        places=tuple(bundle.places[k] for k in kept),
        tests=tuple(bundle.tests[k] for k in kept),
        start=bundle.start[kept],
    )


def _estimated(scene: Scene, traced: Traced, slips: Sequence[Slip]) -> Array:
    """Gain (2, S) of slips that add one current between two nets, by one column of the inverse each."""
    ends, ohms, drops = _columns(scene, slips)
    values = np.tile(traced.told.values, (len(slips), 1))
    settled = np.tile(traced.told.settled, (len(slips), 1))
    for bundle in scene.bundles:
        change, fine = _moved(scene, bundle, ends, ohms, drops)
        places = list(bundle.places)
        scale = np.ones(len(places))
        for k, place in enumerate(places):
            target = scene.watched[place].target
            if isinstance(target, DeadTest) and target.range_name != "diode":
                scale[k] = 1.0 / target.meter.test_current
        values[:, places] += np.where(fine[:, None], change * scale, 0.0)
        settled[:, places] &= fine[:, None]
    told = Told(values=values, slopes=np.zeros((len(slips), len(scene.watched), 0)), settled=settled)
    variants = [slip.variant for slip in slips]
    return _gain(scene, traced, told, variants, list(range(len(scene.watched))))


def _columns(scene: Scene, slips: Sequence[Slip]) -> tuple[NDArray[np.intp], Array, Array]:
    """Unknowns at the two ends (S, 2), resistance (S,) and drop (S,) of what each slip adds."""
    nets = scene.torn.nets
    ends, ohms, drops = [], [], []
    for slip in slips:
        (part,) = slip.variant.added
        first, second = part.pins.values()
        ends.append((nets[first], nets[second]))
        resistor = part.kind == "resistor"
        ohms.append(float(part.values["resistance"]) if resistor else DIODE_OHMS)
        drops.append(0.0 if resistor else DIODE_DROP)
    return np.array(ends, dtype=np.intp), np.array(ohms), np.array(drops)


def _moved(
    scene: Scene, bundle: Bundle, ends: NDArray[np.intp], ohms: Array, drops: Array
) -> tuple[Array, NDArray[np.bool_]]:
    """Change of each reading of a bundle (S, R), and whether it could be told."""
    torn = scene.torn
    wirings = wirings_of(scene, bundle, [AS_TRACED])
    point = linearised(torn, wirings, bundle.table, bundle.start)
    watched = [scene.watched[place] for place in bundle.places]
    samples = len(wirings)
    told = asked(
        torn, point, wirings, bundle.start, [AS_TRACED] * samples, watched[:1] if bundle.tests else watched
    )
    held = point.jacobian + np.eye(torn.size) * (np.abs(point.jacobian).sum(axis=2) == 0.0)[:, :, None]
    try:
        inverses = np.linalg.inv(held)
    except np.linalg.LinAlgError:
        shape = (len(ends), len(bundle.places))
        return np.zeros(shape), np.zeros(len(ends), dtype=bool)
    one, other = ends.T
    changes = []
    for sample in range(samples):
        z = np.zeros((torn.size + 1, torn.size + 1))
        z[:-1, :-1] = inverses[sample]
        reach = np.zeros((told.gradient.shape[1], torn.size + 1))
        reach[:, :-1] = told.gradient[sample] @ inverses[sample]
        volts = bundle.start[sample, one] - bundle.start[sample, other]
        seen = z[one, one] + z[other, other] - z[one, other] - z[other, one]
        driving = np.where(drops > 0.0, np.maximum(volts - drops, 0.0), volts)
        current = driving / np.maximum(ohms + seen, 1e-9)
        changes.append(-(reach[:, one] - reach[:, other]).T * current[:, None])
    change = np.concatenate(changes, axis=1)
    return change, np.isfinite(change).all(axis=1)
