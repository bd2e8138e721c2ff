"""How far one reading lies off by itself, where tolerances are so wide that no slope holds across them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from lidoff.circuit import Circuit, Situation, situation_table, uncertain_parameters
from lidoff.evidence import AGREES_TO, Comparison
from lidoff.insight.as_traced import held_as_traced
from lidoff.insight.refining import WIDE
from lidoff.insight.watched import Watched

__all__ = ["with_wide_tolerances"]

LEAST_CAUSE = 0.1
"""Share of a prediction's variance from which a cause is worth the longer way; our choice."""


def with_wide_tolerances(
    circuit: Circuit,
    situations: Sequence[Situation],
    comparisons: Sequence[Comparison],
    watched: Sequence[Watched],
) -> tuple[Comparison, ...]:
    """Comparisons whose predictions hang on wide tolerances, held as slips hold them.

    To first order round the written value a gain of 3 ± 90 % promises too little of what it does at its lower end. A reading
    that does not agree is therefore weighed anew with the parameters where it draws them, by the very sum that the search for
    slips starts from, so that both tell one number.

    Parameters
    ----------
    circuit : Circuit
        As traced.
    situations : sequence of Situation
        Of the dossier.
    comparisons : sequence of Comparison
        Of readings with power, at rest.
    watched : sequence of Watched
        The readings.

    Returns
    -------
    tuple of Comparison
        In the same order; the prediction's uncertainty is that towards the reading, and only ever grows.
    """
    by_name = {one.name: one for one in watched}
    wide = _wide(circuit, situations)
    return tuple(
        _held(circuit, situations, one, by_name[one.reading])
        if one.reading in by_name and _hangs_on(one, wide)
        else one
        for one in comparisons
    )


def _wide(circuit: Circuit, situations: Sequence[Situation]) -> frozenset[str]:
    """Parameters with wide tolerances, as ``reference.parameter``."""
    table = situation_table(circuit, situations) if situations else {}
    return frozenset(
        f"{reference}.{name}"
        for reference, name, spread in uncertain_parameters(circuit)
        for value in [float(table[reference, name][0]) if (reference, name) in table else 0.0]
        if spread.standard(value) > WIDE * abs(value) > 0.0
    )


def _hangs_on(one: Comparison, wide: frozenset[str]) -> bool:
    return (
        abs(one.score) > AGREES_TO
        and one.predicted.uncertainty > 0.0
        and any(share > LEAST_CAUSE and name in wide for name, share in one.causes.items())
    )


def _held(circuit: Circuit, situations: Sequence[Situation], one: Comparison, watched: Watched) -> Comparison:
    _, traced = held_as_traced(circuit, situations, [watched])
    if not 0.0 < traced.chi_square < one.score**2:
        return one
    uncertainty = abs(one.difference) / traced.chi_square**0.5
    own = max(uncertainty**2 - one.measured.quantity.normal_uncertainty**2, 0.0) ** 0.5
    return replace(
        one,
        uncertainty=uncertainty,
        predicted=replace(one.predicted, uncertainty=max(own, one.predicted.uncertainty)),
    )
