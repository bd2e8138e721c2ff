"""How an analysis was checked, in the few words that the reader of a report needs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from lidoff.circuit import Circuit, WiringFault, uncertain_parameters
from lidoff.dossier.analysis import Check
from lidoff.dossier.entries import Dossier
from lidoff.dossier.solving import Solved
from lidoff.evidence import AGREES_TO, BORNE_OUT_FROM, NOT_BORNE_OUT_TO, STRAINED_TO, ClaimResult, Comparison
from lidoff.hazards import Stress

__all__ = ["checks_of"]


def checks_of(
    dossier: Dossier,
    circuit: Circuit,
    solved: Solved,
    comparisons: Sequence[Comparison],
    claims: Sequence[ClaimResult],
    stresses: Sequence[Stress],
    wiring: Sequence[WiringFault],
) -> tuple[Check, ...]:
    """What was checked, against what, with what outcome, and what was not covered."""
    found: list[Check] = []
    if circuit.parts:
        found.append(
            Check(
                title="Wiring",
                against="pins of each kind of part, nets with one pin, loops without resistance",
                outcome=f"{_count(len(wiring), 'remark')} on {_count(len(circuit.parts), 'part')} "
                f"and {_count(len(circuit.nets), 'net')}",
                left_out="Whether the board was traced rightly shows only where readings are compared.",
            )
        )
        found.append(
            Check(
                title="Operating points",
                against="Kirchhoff's laws and the equations of each kind of part",
                outcome=f"{len(solved.place)} of {_count(len(solved.results), 'situation')} settled, with the spread of "
                f"{_count(len(uncertain_parameters(circuit)), 'parameter')} to first order",
                left_out="At rest only: no switching edges, ripple or warming up.",
            )
        )
    if dossier.readings:
        fits = Counter(one.fit for one in comparisons)
        found.append(
            Check(
                title="Readings",
                against="the solved circuit: difference over combined standard uncertainty, agrees up to "
                f"{AGREES_TO:g}, strained up to {STRAINED_TO:g} (convention)",
                outcome=f"{_count(len(comparisons), 'reading')} of {len(dossier.readings)} compared: "
                f"{fits['agrees']} agree, {fits['strained']} strained, {_count(fits['misfit'], 'misfit')}",
                left_out="A meter's own load is in the prediction only where its input resistance or burden is told.",
            )
        )
    if dossier.claims:
        verdicts = Counter(result.verdict.words for result in claims)
        found.append(
            Check(
                title="Claims",
                against=f"readings: borne out at {100 * BORNE_OUT_FROM:.0f} % probability and more, not borne out at "
                f"{100 * NOT_BORNE_OUT_TO:.0f} % and less (convention), else not to be told",
                outcome=", ".join(
                    f"{verdicts[words]} {words}" for words in ("borne out", "not borne out", "cannot tell")
                ),
                left_out="One sample of the device; others may differ.",
            )
        )
    if stresses:
        over = sum(stress.share > 1.0 for stress in stresses)
        found.append(
            Check(
                title="Ratings",
                against="each part's voltage, current and power ratings, told or typical, at rest or over a period",
                outcome=f"{_count(len(stresses), 'load')} checked, {over} over the rating",
                left_out="No derating with temperature, no edges or surges shorter than what was solved.",
            )
        )
    return tuple(found)


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
