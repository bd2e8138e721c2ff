"""The solver against bare linear algebra, against its own growth, and against the time that an analyst waits."""

from __future__ import annotations

import os
import resource
import time
import warnings
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numpy.typing import NDArray

from benchmarks.measurement import Measurement, interleaved_medians
from benchmarks.plausible import plausible_circuit, resistive_sheet
from lidoff.circuit import Circuit, Part, operating_point, periodic_steady_state
from lidoff.circuit.solve.assemble import assemble, table_of
from lidoff.circuit.solve.homotopy import solve_batch

__all__ = ["measure"]

SAMPLES = 10_000
SEED = 1


def thirty_nets() -> Circuit:
    """A ladder of resistors with an LED at every third step: thirty nets besides ground, ten junctions."""
    parts = [
        Part(
            reference="V",
            kind="dc_supply",
            pins={"plus": "n0", "minus": "gnd"},
            values={"voltage": 9.0, "resistance": 0.1},
        )
    ]
    for k in range(29):
        parts.append(_resistor(f"R{k}", f"n{k // 3}", f"n{k + 1}", 470.0 * (1 + k % 5)))
        parts.append(_resistor(f"S{k}", f"n{k + 1}", "gnd", 4700.0 * (1 + k % 3)))
        if k % 3 == 0:
            pins = {"anode": f"n{k + 1}", "cathode": "gnd"}
            parts.append(Part(reference=f"D{k}", kind="led", pins=pins))
    return Circuit(parts=tuple(parts))


def _resistor(reference: str, one: str, other: str, ohms: float) -> Part:
    return Part(
        reference=reference, kind="resistor", pins={"1": one, "2": other}, values={"resistance": ohms}
    )


def _varied(circuit: Circuit) -> dict[tuple[str, str], NDArray[np.float64]]:
    rng = np.random.default_rng(SEED)
    varied = {}
    for part in circuit.parts:
        name = {"resistor": "resistance", "led": "forward_drop"}.get(part.kind)
        if name == "resistance":
            varied[part.reference, name] = float(part.values[name]) * rng.uniform(0.95, 1.05, SAMPLES)
        elif name:
            varied[part.reference, name] = rng.uniform(1.8, 2.2, SAMPLES)
    return varied


def measure_batch() -> Measurement:
    """Ten thousand variants of a circuit of thirty nets, over the bare solve of as many systems as steps were taken."""
    circuit = thirty_nets()
    system = assemble(circuit)
    table = table_of(circuit, _varied(circuit))
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    found = solve_batch(system, table, samples=SAMPLES)
    grown = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before
    size, cores = system.size, os.cpu_count() or 1
    rng = np.random.default_rng(SEED)
    stack = rng.normal(size=(SAMPLES, size, size)) + 10.0 * np.eye(size)
    right = rng.normal(size=(SAMPLES, size, 1))
    halves = np.array_split(np.arange(SAMPLES), cores)

    def bare() -> None:
        with ThreadPoolExecutor(cores) as pool:
            list(
                pool.map(
                    lambda rows: np.linalg.solve(
                        stack[rows[0] : rows[-1] + 1], right[rows[0] : rows[-1] + 1]
                    ),
                    halves,
                )
            )

    seconds = interleaved_medians(
        {"ours": lambda: solve_batch(system, table, samples=SAMPLES), "bare stack": bare}, rounds=7
    )
    steps = float(found.steps.mean())
    return Measurement(
        name="batch of 10 000 over bare solves times Newton steps",
        ratio=seconds["ours"] / (seconds["bare stack"] * steps),
        limit=1.5,
        seconds=seconds,
        details={
            "unknowns": float(size),
            "steps": steps,
            "settled": float(found.settled.mean()),
            "memory grown [MiB]": grown / 1024.0,
        },
    )


def measure_one() -> Measurement:
    """One operating point of about fifty parts, against ten milliseconds."""
    circuits = [plausible_circuit(seed, pieces=12) for seed in range(12)]
    works = {str(k): (lambda c=circuit: operating_point(c)) for k, circuit in enumerate(circuits)}
    seconds = interleaved_medians(works, rounds=9)
    median = float(np.median(list(seconds.values())))
    return Measurement(
        name="one operating point of about 50 parts over 10 ms",
        ratio=median / 0.010,
        limit=1.0,
        seconds={"median": median, "slowest": max(seconds.values())},
        details={"parts": float(np.mean([len(circuit.parts) for circuit in circuits]))},
    )


def measure_sheet() -> list[Measurement]:
    """Sheets of resistors: growth with the number of parts, and the time for two thousand."""
    sheets = [resistive_sheet(n, n, seed=SEED) for n in (8, 11, 16, 23, 32)]
    works = {str(len(sheet.parts)): (lambda c=sheet: operating_point(c)) for sheet in sheets}
    seconds = interleaved_medians(works, rounds=5)
    parts = np.array([float(name) for name in seconds])
    power = float(np.polyfit(np.log(parts), np.log(list(seconds.values())), 1)[0])
    return [
        Measurement(
            name="growth of a sheet over n^1.5", ratio=power / 1.5, limit=1.0, details={"exponent": power}
        ),
        Measurement(
            name="sheet of 2 000 parts over 1 s",
            ratio=seconds[str(len(sheets[-1].parts))],
            limit=1.0,
            seconds=seconds,
        ),
    ]


def dropper() -> Circuit:
    """Capacitive dropper with bridge, Zener clamp, reservoir and three LEDs."""

    def two(reference: str, kind: str, one: str, other: str, **values: float) -> Part:
        names = {"led": ("anode", "cathode"), "diode": ("anode", "cathode"), "zener": ("cathode", "anode")}
        pins = dict(zip(names.get(kind, ("1", "2")), (one, other), strict=True))
        return Part(reference=reference, kind=kind, pins=pins, values=values)

    mains = {"voltage": 230.0, "frequency": 50.0}
    return Circuit(
        ground="m",
        parts=(
            Part(reference="V", kind="ac_supply", pins={"plus": "l", "minus": "n"}, values=mains),
            two("R1", "resistor", "l", "x", resistance=100.0),
            two("C1", "capacitor", "x", "p", capacitance=470e-9),
            two("R9", "resistor", "x", "p", resistance=1e6),
            two("D1", "diode", "p", "v"),
            two("D2", "diode", "n", "v"),
            two("D3", "diode", "m", "p"),
            two("D4", "diode", "m", "n"),
            two("C2", "capacitor", "v", "m", capacitance=100e-6),
            two("Z1", "zener", "v", "m", breakdown_voltage=24.0),
            two("R2", "resistor", "v", "k", resistance=470.0),
            two("L1", "led", "k", "j", forward_drop=3.0),
            two("L2", "led", "j", "i", forward_drop=3.0),
            two("L3", "led", "i", "m", forward_drop=3.0),
        ),
    )


def measure_periodic() -> Measurement:
    """Periodic steady state of a mains dropper, against half a second."""
    circuit = dropper()
    seconds = interleaved_medians({"ours": lambda: periodic_steady_state(circuit)}, rounds=5)
    return Measurement(
        name="periodic state of a dropper over 0.5 s", ratio=seconds["ours"] / 0.5, limit=1.0, seconds=seconds
    )


def measure_settling() -> Measurement:
    """A thousand random plausible circuits: the share that does not settle, against one in two hundred."""
    unsettled: list[int] = []
    methods: dict[str, int] = {}
    start = time.perf_counter()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for seed in range(1000):
            found = operating_point(plausible_circuit(seed))
            method = found.outcome.tried[-1]
            methods[method] = methods.get(method, 0) + 1
            if not found.settled.all() or not np.isfinite(found.outcome.unknowns).all():
                unsettled.append(seed)
    return Measurement(
        name="share of plausible circuits that do not settle over 0.5 %",
        ratio=len(unsettled) / 1000 / 0.005,
        limit=1.0,
        seconds={"thousand circuits": time.perf_counter() - start},
        details={
            **{f"settled by {name}": float(count) for name, count in methods.items()},
            "unsettled": float(len(unsettled)),
        },
    )


def measure() -> list[Measurement]:
    """All of them."""
    return [measure_batch(), measure_one(), *measure_sheet(), measure_periodic(), measure_settling()]
