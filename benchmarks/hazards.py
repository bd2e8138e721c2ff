"""Hazard checks: all single faults against as many plain solves, and the checks together against solving the situations."""

from __future__ import annotations

import time
from pathlib import Path

from benchmarks.measurement import Measurement, interleaved_medians
from benchmarks.plausible import plausible_circuit
from lidoff.circuit import Circuit, Situation, all_faults, operating_point, predict_spread, solve_faults
from lidoff.dossier import SolvedSituation, analyse, load_dossier
from lidoff.hazards import Subject, fault_effects, look_for_hazards

__all__ = ["measure"]

DEMOS = Path(__file__).parents[1] / "demos"
FAULTS_SECONDS = 3.0  # [s] promised for all single faults of a circuit of fifty parts


def fifty_parts() -> Circuit:
    """The first plausible circuit of fifty parts and more that settles."""
    for seed in range(100):
        circuit = plausible_circuit(seed, pieces=14)
        if len(circuit.parts) >= 50 and operating_point(circuit).settled.all():
            return circuit
    raise RuntimeError("no plausible circuit of fifty parts settles")


def subject_of(circuit: Circuit) -> Subject:
    """The circuit in one situation."""
    situation = Situation(name="on")
    return Subject(
        circuit=circuit,
        situations={"on": situation},
        place={"on": 0},
        spreading=predict_spread(circuit, (situation,)),
    )


def measure() -> list[Measurement]:
    """Ratios of the single faults and of all checks."""
    circuit = fifty_parts()
    faults = all_faults(circuit)
    subject = subject_of(circuit)
    seconds = interleaved_medians(
        {
            "ranked": lambda: fault_effects(subject),
            "solved alone": lambda: solve_faults(circuit, faults),
            "one plain solve": lambda: operating_point(circuit),
        },
        rounds=5,
    )
    sizes = {"parts": float(len(circuit.parts)), "faults": float(len(faults))}
    found = [
        Measurement(
            name="all single faults of fifty parts, seconds over the promised three",
            ratio=seconds["ranked"] / FAULTS_SECONDS,
            limit=1.0,
            seconds=seconds,
            details=sizes,
        ),
        Measurement(
            name="all single faults, ranked, over as many plain solves one by one",
            ratio=seconds["ranked"] / (seconds["one plain solve"] * len(faults)),
            limit=1.0,
            seconds=seconds,
            details=sizes,
        ),
    ]
    for demo in ("crumb-vacuum", "insect-lure", "night-light"):
        dossier = load_dossier(DEMOS / demo)
        analyse(dossier)  # once for the imports and the caches of the catalogues
        start = time.perf_counter()
        analysis = analyse(dossier)
        whole = time.perf_counter() - start
        assert analysis.spreading is not None
        settled = [one.situation for one in analysis.situations if isinstance(one, SolvedSituation)]
        fresh = Subject(
            circuit=analysis.circuit,
            situations={one.name: one for one in settled},
            place={one.name: number for number, one in enumerate(settled)},
            spreading=analysis.spreading,
            lights=dossier.lights,
            surfaces=dossier.surfaces,
            cells=dossier.cells,
        )
        start = time.perf_counter()
        look_for_hazards(fresh)
        checks = time.perf_counter() - start
        found.append(
            Measurement(
                name=f"all hazard checks over the whole analysis: {demo}",
                ratio=checks / whole,
                seconds={"checks": checks, "analysis": whole},
            )
        )
    return found
