"""Findings of an analysis, in words: wiring, situations, readings, claims, ratings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from lidoff.circuit import Circuit, WiringFault, in_force, kind_of, settings_of
from lidoff.dossier.analysis import SolvedSituation, UnsolvedSituation
from lidoff.dossier.solving import Solved
from lidoff.evidence import (
    SEVERITIES,
    CannotTell,
    ClaimResult,
    Comparison,
    Finding,
    Measured,
    NotBorneOut,
    Uncompared,
    titled,
    told_reading,
)
from lidoff.hazards import patterned_pins
from lidoff.quantities import Quantity, format_quantity

__all__ = [
    "claim_findings",
    "comparison_findings",
    "gravest_first",
    "reading_findings",
    "situation_findings",
    "wiring_findings",
]


def gravest_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings by severity, else in the order given."""
    return tuple(sorted(findings, key=lambda finding: SEVERITIES.index(finding.severity)))


def wiring_findings(faults: Sequence[WiringFault]) -> tuple[Finding, ...]:
    """What the graph shows, as findings."""
    return tuple(
        Finding(
            name=fault.name,
            title=f"{fault.name[:1].upper()}{fault.name[1:]}" + (f": {fault.where}" if fault.where else ""),
            severity="fault" if fault.fatal else "caution",
            what=fault.what,
            parts=fault.parts,
            nets=fault.nets,
            remedy=fault.remedy,
        )
        for fault in faults
    )


def _steered_by(circuit: Circuit, loose: Sequence[str]) -> tuple[str, ...]:
    """Parts of which a loose net leads the current, such as a gate's."""
    return tuple(
        part.reference
        for part in circuit.parts
        if any(part.pins.get(leading) in loose for leading, _ in kind_of(part).controls)
    )


def situation_findings(circuit: Circuit, solved: Solved, *, averages: bool = True) -> tuple[Finding, ...]:
    """Situations that did not settle, that nothing drives, or in which nets hang loose; what several share is told once.

    Parameters
    ----------
    circuit : Circuit
    solved : Solved
    averages : bool, optional
        Whether something in the circuit may stand still while a supply alternates, so that a stand-in could tell it at rest.

    Returns
    -------
    tuple of Finding
    """
    found: list[Finding] = []
    timed: dict[tuple[str, ...], list[str]] = {}
    loose: dict[tuple[str, ...], list[str]] = {}
    for result in solved.results:
        if isinstance(result, UnsolvedSituation):
            found.append(
                Finding(
                    name="situation not solved",
                    title=f"{'No state of rest' if result.restless else 'No operating point'}: {titled(result.name)}",
                    severity="caution" if result.restless else "fault",
                    what=result.what,
                    nets=result.nets,
                    situations=(result.name,),
                    remedy=result.remedy,
                )
            )
            continue
        found.extend(_undriven(circuit, result))
        found.extend(_pulsed(circuit, result))
        if supplies := _timed(circuit, result):
            timed.setdefault(supplies, []).append(result.name)
        if result.undetermined:
            loose.setdefault(tuple(result.undetermined), []).append(result.name)
    found.extend(_alternating(supplies, names, averages) for supplies, names in timed.items())
    found.extend(_loose(circuit, nets, names) for nets, names in loose.items())
    for name, parameters in solved.unsettled_spread.items():
        found.append(
            Finding(
                name="spread not complete",
                title=f"Spread not complete in {name}",
                severity="note",
                what=f"With {', '.join(parameters)} moved, {name} does not settle both ways, so the spread told there "
                "rests on one side or leaves the parameter out.",
                situations=(name,),
                parts=tuple(sorted({parameter.partition(".")[0] for parameter in parameters})),
            )
        )
    return tuple(found)


def _undriven(circuit: Circuit, result: SolvedSituation) -> list[Finding]:
    """Finding where no supply is connected."""
    if any(_is_connected(circuit, result, reference) for reference in result.supplies):
        return []
    why = "all supplies are disconnected" if result.supplies else "the circuit has no supply"
    return [
        Finding(
            name="situation without supply",
            title=f"Nothing drives the circuit in {titled(result.name)}",
            severity="note" if result.supplies else "caution",
            what=f"In {titled(result.name)} {why}, so the solved voltages are zero. "
            "Charge that capacitors keep is not in them.",
            parts=tuple(result.supplies),
            situations=(result.name,),
            remedy="fine for the unplugged device; else connect a supply or add one",
        )
    ]


def _timed(circuit: Circuit, result: SolvedSituation) -> tuple[str, ...]:
    """Connected supplies that change with time, while no stand-in tells at rest what they give on average."""
    stood_for = {name for names in in_force(circuit, result.situation).values() for name in names}
    return tuple(
        reference
        for reference in result.supplies
        if any(
            element.law.timed
            for element in kind_of(circuit.part(reference)).elements(circuit.part(reference))
        )
        and _is_connected(circuit, result, reference)
        and reference not in stood_for
    )


def _alternating(supplies: tuple[str, ...], names: Sequence[str], averages: bool) -> Finding:
    where = _listed([titled(name) for name in names])
    return Finding(
        name="alternating supply",
        title=f"Only one instant of {where}",
        severity="caution" if averages else "note",
        what=f"In {where} {_listed(supplies)} {'changes' if len(supplies) == 1 else 'change'} with time. "
        f"{'The' if len(names) == 1 else 'Each'} operating point holds at the instant 0 s only: no "
        "mean, no root mean square, nothing of what capacitors pass. Readings and claims are held against one period.",
        parts=supplies,
        situations=tuple(names),
        remedy="for averages, add a steady supply that gives the same mean, and tell what it stands for: "
        "stands_for = […], the alternating supply among it"
        if averages
        else "",
    )


def _loose(circuit: Circuit, nets: tuple[str, ...], names: Sequence[str]) -> Finding:
    where = _listed([titled(name) for name in names])
    steered = _steered_by(circuit, nets)
    return Finding(
        name="undetermined net",
        title=f"Nothing fixes {_listed(nets)} in {where}",
        severity="note",
        what=f"In {where} nothing connects {_listed(nets)} to the rest, so "
        f"{'its voltage is' if len(nets) == 1 else 'their voltages are'} not known"
        + (f", nor what {_listed(steered)} carries or blocks." if steered else "."),
        nets=nets,
        situations=tuple(names),
        remedy="set in the situation what the chip at these nets does, as with a controller's pins; else look for "
        "a part or joint that was missed"
        if steered
        else "fine where a switch is open; else look for a part or joint that was missed",
    )


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def _pulsed(circuit: Circuit, result: SolvedSituation) -> list[Finding]:
    """Finding where pins follow a pattern, since they stand low in the operating point."""
    pins = {part.reference: patterned_pins(part, result.situation) for part in circuit.parts}
    told = [f"{reference}.{pin}" for reference, names in pins.items() for pin in names]
    if not told:
        return []
    return [
        Finding(
            name="pin with a pattern",
            title=f"Told over a period: {titled(result.name)}",
            severity="note",
            what=f"In {titled(result.name)} {', '.join(told)} {'follow' if len(told) > 1 else 'follows'} a pattern. What "
            "supplies deliver, readings, claims and ratings are told from one period of it; slips, which are tried at rest, "
            "leave its readings out.",
            parts=tuple(reference for reference, names in pins.items() if names),
            situations=(result.name,),
            remedy="where the rest of the circuit is slow or linear, the share of time high, such as 0.25 in place of "
            '"pattern", gives the averages at rest',
        )
    ]


def _is_connected(circuit: Circuit, result: SolvedSituation, reference: str) -> bool:
    part = circuit.part(reference)
    return settings_of(part, result.situation.settings.get(reference)).get("connected", 1.0) > 0.0


def reading_findings(measured: Sequence[Measured]) -> tuple[Finding, ...]:
    """Readings that cannot be relied on, and those whose uncertainty rests on their digits alone."""
    doubtful = tuple(
        Finding(
            name="reading doubtful",
            title=f"Not to be relied on: {one.name}",
            severity="caution",
            what=f"The reading {one.name} cannot be relied on: {'; '.join(one.doubts)}.",
            readings=(one.name,),
            situations=(one.reading.situation,) if one.reading.situation else (),
            remedy="read it again by a meter that follows the signal, and look at every repeat",
        )
        for one in measured
        if one.doubts
    )
    return doubtful + tuple(
        Finding(
            name="reading without accuracy",
            title=f"No accuracy known: {one.name}",
            severity="note",
            what=f"The reading {one.name} names no instrument and no ±, so only its last digit counts as its uncertainty.",
            readings=(one.name,),
            situations=(one.reading.situation,) if one.reading.situation else (),
            remedy='name the instrument, or write the uncertainty: shown = "4.40 V ± 0.02 V"',
        )
        for one in measured
        if not one.reading.instrument and one.stated == one.accuracy == 0.0 and one.resolution > 0.0
    )


def comparison_findings(
    comparisons: Sequence[Comparison], uncompared: Sequence[Uncompared]
) -> tuple[Finding, ...]:
    """Readings that the circuit does not explain, and those that could not be compared."""
    found = [_misfit(one) for one in comparisons if one.fit != "agrees"]
    found += [
        Finding(
            name="reading not compared",
            title=f"Not compared: {one.measured.name}",
            severity="note",
            what=f"The reading {one.measured.name} was not held against the circuit: {one.why}.",
            readings=(one.measured.name,),
            situations=(one.measured.reading.situation,) if one.measured.reading.situation else (),
        )
        for one in uncompared
    ]
    return tuple(found)


def _misfit(one: Comparison) -> Finding:
    reading = one.measured.reading
    causes = [f"{name} ({100 * share:.0f} %)" for name, share in list(one.causes.items())[:3]]
    unit = one.predicted.unit
    where = f" in {titled(reading.situation)}" if reading.situation else ""
    signs = one.over_range or one.measured.over_range
    difference = format_quantity(Quantity(one.difference, unit, one.uncertainty))
    return Finding(
        name="misfit" if one.fit == "misfit" else "strained reading",
        title=f"{'Misfit' if one.fit == 'misfit' else 'Strained'}: {reading.target}{where}",
        severity="caution" if one.fit == "misfit" else "note",
        what=f"The {reading.target}{where} was read as {told_reading(one.measured)}; the circuit as recorded should "
        f"show {one.told}.",
        readings=(one.reading,),
        situations=(reading.situation,) if reading.situation else (),
        parts=tuple(dict.fromkeys(name.partition(".")[0] for name in list(one.causes)[:3])),
        evidence=f"{'' if signs else f'difference {difference}, '}{abs(one.score):.1f} standard uncertainties",
        remedy=one.other_way_round
        if one.other_way_round
        else "look for a wrong value, pin or missed part"
        + (f"; the prediction hangs most on {', '.join(causes)}" if causes else ""),
    )


def claim_findings(results: Sequence[ClaimResult]) -> tuple[Finding, ...]:
    """Claims that are not borne out, and those that cannot be told."""
    found = []
    for result in results:
        claim = result.claim
        if isinstance(result.verdict, NotBorneOut):
            found.append(
                Finding(
                    name="claim not borne out",
                    title=f"Not borne out: {claim.says}",
                    severity="caution",
                    what=result.sum + ".",
                    claims=(claim.name,),
                    evidence=f"the claim is true with a probability of {_percent(result.verdict.probability)}",
                )
            )
        elif isinstance(result.verdict, CannotTell):
            found.append(
                Finding(
                    name="claim cannot be told",
                    title=f"Cannot tell: {claim.says}",
                    severity="note",
                    what=result.sum + ".",
                    claims=(claim.name,),
                    evidence=result.verdict.why,
                    remedy=result.verdict.needs,
                )
            )
    return tuple(found)


def _percent(probability: float) -> str:
    if probability < 0.001:
        return "less than 0.1 %"
    return "more than 99.9 %" if probability > 0.999 else f"{100 * probability:.1f} %"
