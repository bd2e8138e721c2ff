"""Which slip of the pencil explains readings that won't fit: every slip as a variant, scored against all readings.

Each slip ``s`` has odds before any reading; its likelihood is that of all readings under the circuit as it would then be (see
`lidoff.insight.likelihood`). Posterior probabilities are odds times likelihood over their sum, "no slip" having odds of one.
Beside the slips stand three ways in which none of them may be the cause: one value is otherwise than written by any amount, one
reading is off by any amount, or something that is on no list. They keep a slip from being believed for want of a better.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from lidoff.circuit import Circuit, Situation
from lidoff.circuit.kind import Array
from lidoff.evidence import AcrossPart, InPart, IntoPin
from lidoff.insight.as_traced import held_as_traced
from lidoff.insight.believed import Believed, together
from lidoff.insight.fitted import fitted_value, misfit_with
from lidoff.insight.foretold import Told, tell
from lidoff.insight.likelihood import inverted, log_likelihoods, noise_of, read_values, shows_number
from lidoff.insight.open_causes import open_causes
from lidoff.insight.pairs import likely_pairs
from lidoff.insight.refining import poor_from, refined
from lidoff.insight.sameness import looks_of, sameness
from lidoff.insight.scene import Scene
from lidoff.insight.sifting import Traced, sifted, solved_as_traced
from lidoff.insight.slip import Slip, all_slip_kinds
from lidoff.insight.variant import AS_TRACED
from lidoff.insight.watched import Watched

__all__ = ["Believed", "SlipRanking", "rank_slips"]

KEPT = 90
"""Slips that are solved in full after sifting; our choice."""
REFINED = 14
"""Of those, how many with slopes where the readings draw the parameters; our choice."""
SURPRISE = 2.6
"""Standard deviations that a contradicted beep is worth, to ask for a second slip; our choice."""
FOLDED_BELOW = 2.0
"""A second slip that makes the readings likelier by less than this [natural logarithm] explains nothing; our choice."""
LEAST_PROBABILITY = 1e-4
FITTED_FROM = 0.01
"""Probability from which an unknown value is fitted; our choice."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SlipRanking:
    """All explanations worth telling.

    Attributes
    ----------
    explanations : tuple of Believed
        The most probable first; those below one in ten thousand are left out.
    looked_at : int
        Number of single slips that were weighed.
    readings : int
        Number of readings they were weighed against.
    numbers : int
        Number of those that show a number.
    chi_square : float
        Misfit of these with the circuit as traced.
    scene : Scene
        Circuit and readings, for what comes after.
    """

    explanations: tuple[Believed, ...]
    looked_at: int
    readings: int
    numbers: int
    chi_square: float
    scene: Scene

    @property
    def no_slip(self) -> float:
        """Probability that there is none."""
        return sum(one.probability for one in self.explanations if one.kind == "none")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Weighed:
    """Slips with their logarithm of odds times likelihood."""

    slips: tuple[tuple[Slip, ...], ...]
    weights: Array
    told: Told


def rank_slips(
    circuit: Circuit, situations: Sequence[Situation], watched: Sequence[Watched], *, pairs: bool = True
) -> SlipRanking:
    """Rank what may be wrong with the trace or the readings.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : sequence of Situation
        Of the dossier.
    watched : sequence of Watched
        All readings of the circuit, powered and dead.
    pairs : bool, optional
        Whether two slips at once are looked at.

    Returns
    -------
    SlipRanking
        With no readings, what was believed before any.
    """
    scene, traced = held_as_traced(circuit, situations, watched)
    proposed = [
        slip
        for kind in all_slip_kinds().values()
        for slip in kind.propose(circuit, scene.watched, kind.chance)
    ]
    unlike = _unlike(circuit, proposed, _read_parts(scene.watched))
    groups = {key: members for key, members in unlike.items() if members[0].variant != AS_TRACED}
    first = [_joint(members) for members in groups.values()]
    chosen = sifted(scene, traced, first, KEPT)
    single = _weigh(scene, traced, [(slip,) for slip in chosen.kept])
    weighed = [single]
    if pairs and _is_open(scene, traced, single):
        doubles = likely_pairs(scene, traced, [group[0] for group in single.slips], single.told)
        if doubles:
            weighed.append(_weigh(scene, traced, doubles))
    alike = {id(joint): members for joint, members in zip(first, groups.values(), strict=True)}
    believed = _believed(scene, traced, weighed, alike, chosen.unseen)
    return SlipRanking(
        explanations=tuple(_with_value(scene, one) for one in believed),
        looked_at=len(proposed),
        readings=len(scene.watched),
        numbers=sum(shows_number(one) for one in scene.watched),
        chi_square=traced.chi_square,
        scene=scene,
    )


def _is_open(scene: Scene, traced: Traced, single: _Weighed) -> bool:
    """Whether neither the circuit as traced nor any single slip explains the readings, so that two are worth a look."""
    if not len(single.slips) or not len(scene.watched) or not np.isfinite(single.weights).any():
        return False
    numbers = sum(shows_number(one) for one in scene.watched)
    best = int(np.argmax(single.weights))
    part = _Weighed(
        slips=single.slips[best : best + 1],
        weights=single.weights[[best]],
        told=Told(
            values=single.told.values[[best]],
            slopes=single.told.slopes[[best]],
            settled=single.told.settled[[best]],
        ),
    )
    signs = any(
        abs(score) > SURPRISE
        for one, score in zip(scene.watched, _sign_scores(scene, part), strict=True)
        if not shows_number(one)
    )
    return signs or min(float(_left(scene, part)[0]), traced.chi_square) > poor_from(numbers)


def _sign_scores(scene: Scene, part: _Weighed) -> list[float]:
    """How much each beep or over-range sign contradicts the one explanation, in standard deviations; 0 for numbers."""
    told, variants = part.told, [together(part.slips[0])]
    found = []
    for k, one in enumerate(scene.watched):
        alone = Told(values=told.values[:, [k]], slopes=told.slopes[:, [k]], settled=told.settled[:, [k]])
        sign = 0.0 if shows_number(one) else float(log_likelihoods([one], alone, variants)[0])
        found.append((-2.0 * sign) ** 0.5)
    return found


def _with_value(scene: Scene, one: Believed) -> Believed:
    """Explanation with the value that fits and the misfit it leaves, where it is one of an unknown value worth telling."""
    if one.parameter is None or one.probability < FITTED_FROM:
        return one
    value = fitted_value(scene, *one.parameter)
    left = None if value is None else misfit_with(scene, *one.parameter, value.value)
    return replace(one, value=value, chi_square=one.chi_square if left is None else left)


def _read_parts(watched: Sequence[Watched]) -> frozenset[str]:
    """Parts that readings name."""
    return frozenset(
        one.target.reference for one in watched if isinstance(one.target, AcrossPart | InPart | IntoPin)
    )


def _unlike(circuit: Circuit, slips: Sequence[Slip], read: frozenset[str]) -> Mapping[object, list[Slip]]:
    """Slips by what they make of circuit and readings: those under one key cannot be told apart."""
    groups: dict[object, list[Slip]] = {}
    looks = looks_of(circuit, read)
    for slip in slips:
        # A part more makes a circuit that no other slip makes.
        key = id(slip) if slip.variant.added else sameness(looks, slip.variant)
        groups.setdefault(key, []).append(slip)
    return groups


def _joint(members: Sequence[Slip]) -> Slip:
    """One slip that stands for all that make the same circuit."""
    best = max(members, key=lambda slip: slip.odds)
    return replace(best, odds=sum(slip.odds for slip in members))


def _weigh(scene: Scene, traced: Traced, slips: Sequence[tuple[Slip, ...]]) -> _Weighed:
    variants = [together(group) for group in slips]
    told = tell(scene, variants, solved=traced.told.settled[0])
    odds = np.array([sum(np.log(slip.odds) for slip in group) for group in slips])
    weights = odds + log_likelihoods(scene.watched, told, variants)
    weights = np.where(solved_as_traced(scene.watched, told, traced.told), weights, -np.inf)
    # Only the likeliest are worth the care; the others lie below them by far.
    best = [int(k) for k in np.argsort(-weights)[:REFINED] if np.isfinite(weights[k])]
    if best and scene.watched:
        part = Told(values=told.values[best], slopes=told.slopes[best], settled=told.settled[best])
        logarithms, part = refined(scene, part, [variants[k] for k in best])
        weights[best] = odds[best] + logarithms
        for whole, own in zip((told.values, told.slopes), (part.values, part.slopes), strict=True):
            whole[best] = own
    return _Weighed(slips=tuple(slips), weights=weights, told=told)


def _believed(
    scene: Scene,
    traced: Traced,
    weighed: Sequence[_Weighed],
    alike: Mapping[int, Sequence[Slip]],
    unseen: float,
) -> tuple[Believed, ...]:
    base = float(log_likelihoods(scene.watched, traced.told, [AS_TRACED])[0])
    none = Believed(kind="none", title="no slip", probability=0.0, chi_square=traced.chi_square)
    entries = [(base, none), *open_causes(scene, traced, base)]
    entries.extend(_joined(scene, weighed, alike, base))
    logs = np.array([entry[0] for entry in entries])
    total = float(np.logaddexp.reduce(np.append(logs, base + np.log(max(unseen, 1e-300)))))
    found = [
        replace(one, probability=float(np.exp(weight - total)))
        for weight, one in entries
        if weight - total > np.log(LEAST_PROBABILITY)
    ]
    return tuple(sorted(found, key=lambda one: (-one.probability, one.kind, one.title)))


def _joined(
    scene: Scene, weighed: Sequence[_Weighed], alike: Mapping[int, Sequence[Slip]], base: float
) -> list[tuple[float, Believed]]:
    """Slips and pairs with their weights, those of one title taken together, idle seconds folded into the first."""
    found: dict[tuple[str, str], tuple[float, Believed]] = {}
    single = weighed[0]
    alone = {id(group[0]): float(weight) for group, weight in zip(single.slips, single.weights, strict=True)}
    keys: dict[int, tuple[str, str]] = {}
    for some in weighed:
        for group, weight, left in zip(some.slips, some.weights, _left(scene, some), strict=True):
            if not np.isfinite(weight):
                continue
            kept = _without_idle(group, float(weight), alone)
            if len(kept) < len(group):
                key = keys[id(kept[0])]
                found[key] = (float(np.logaddexp(found[key][0], weight)), found[key][1])
                continue
            gain = float(weight) - base - sum(float(np.log(slip.odds)) for slip in group)
            one = _told(group, alike, float(left), gain)
            key = (one.kind, one.title)
            if len(group) == 1:
                keys[id(group[0])] = key
            if key in found:
                before, likeliest = found[key]
                likeliest = likeliest if likeliest.gain >= gain else one
                found[key] = (float(np.logaddexp(before, weight)), likeliest)
            else:
                found[key] = (float(weight), one)
    return list(found.values())


def _without_idle(group: tuple[Slip, ...], weight: float, alone: Mapping[int, float]) -> tuple[Slip, ...]:
    """Group without a second slip that explains nothing the first does not."""
    if len(group) < 2:
        return group
    first, second = sorted(group, key=lambda slip: -alone[id(slip)])
    return (first,) if weight - float(np.log(second.odds)) - alone[id(first)] < FOLDED_BELOW else group


def _left(scene: Scene, weighed: _Weighed) -> Array:
    """Misfit of the displayed numbers that each explanation leaves."""
    numbers = [k for k, one in enumerate(scene.watched) if shows_number(one)]
    if not numbers:
        return np.zeros(len(weighed.slips))
    variants = [together(group) for group in weighed.slips]
    read, deviations = read_values(scene.watched, variants)
    off = np.where(weighed.told.settled, read - weighed.told.values, 0.0)[:, numbers]
    noise = noise_of(scene.watched, weighed.told.values, deviations, weighed.told.settled)[:, numbers]
    slopes = weighed.told.slopes[:, numbers]
    covariance = slopes @ np.transpose(slopes, (0, 2, 1)) + noise[:, :, None] * np.eye(len(numbers))
    white = (inverted(covariance) @ off[:, :, None])[:, :, 0]
    result: Array = (off * white).sum(axis=1)
    return result


def _told(
    group: Sequence[Slip], alike: Mapping[int, Sequence[Slip]], chi_square: float, gain: float
) -> Believed:
    others = tuple(
        dict.fromkeys(
            member.title for slip in group for member in alike.get(id(slip), ()) if member.title != slip.title
        )
    )
    return Believed(
        kind=" + ".join(slip.kind for slip in group),
        title="; and ".join(slip.title for slip in group),
        probability=0.0,
        slips=tuple(group),
        alike=others,
        gain=gain,
        chi_square=chi_square,
        parts=tuple(dict.fromkeys(part for slip in group for part in slip.parts)),
        nets=tuple(dict.fromkeys(net for slip in group for net in slip.nets)),
        readings=tuple(dict.fromkeys(reading for slip in group for reading in slip.readings)),
    )
