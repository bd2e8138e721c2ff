"""The analysis as a document for other programs: versioned, plain, documented in ``docs/analysis-json.md``."""

from __future__ import annotations

import json
import math
from importlib import resources

from lidoff.dossier.analysis import Analysis, PartState, SituationResult, SolvedSituation, SupplyState
from lidoff.dossier.forms import schema_of
from lidoff.dossier.tables import DOSSIER
from lidoff.evidence import ClaimResult, Comparison, Finding, Measured
from lidoff.hazards import Hazard
from lidoff.insight import Block, Economy, Sum, Unnamed, unnamed_parts
from lidoff.quantities import Quantity

__all__ = ["ANALYSIS_VERSION", "analysis_json", "analysis_schema", "dossier_schema"]

ANALYSIS_VERSION = 1
"""Counts up when a key changes its meaning or goes away; new keys do not count."""

Json = dict[str, object]


def analysis_json(analysis: Analysis) -> Json:
    """Plain data of an analysis, ready for `json.dumps`.

    Parameters
    ----------
    analysis : Analysis
        What to tell.

    Returns
    -------
    dict
        As documented in ``docs/analysis-json.md``. Every quantity is ``{"value", "unit", "uncertainty"}`` with the
        expanded uncertainty: k = 2 or, after few repeats, Student's t.
    """
    dossier = analysis.dossier
    return {
        "document": "lidoff analysis",
        "version": ANALYSIS_VERSION,
        "coverage": {"k": 2, "level": 0.95},
        "device": {
            "title": dossier.device.title,
            "maker": dossier.device.maker,
            "model": dossier.device.model,
        },
        "invented": dossier.invented,
        "ground": analysis.circuit.ground,
        "situations": {result.name: _situation(result) for result in analysis.situations},
        "readings": [_reading(measured) for measured in analysis.readings],
        "comparisons": [_comparison(one) for one in analysis.comparisons],
        "uncompared": [{"reading": one.measured.name, "why": one.why} for one in analysis.uncompared],
        "claims": [_claim(result) for result in analysis.claims],
        "stresses": [
            {
                "part": stress.reference,
                "situation": stress.situation,
                "rating": stress.rating,
                "load": quantity_json(stress.load),
                "limit": quantity_json(stress.limit),
                "share": _finite(stress.share),
                "told": stress.told,
            }
            for stress in analysis.stresses
        ],
        "hazards": [_hazard(hazard) for hazard in analysis.hazards],
        "blocks": [_block(block) for block in analysis.blocks],
        "economies": [_economy(one) for one in analysis.economies],
        "stock": [
            {"kind": line.kind, "value": line.value, "parts": list(line.references)}
            for line in analysis.stock.lines
        ],
        "unnamed": [_unnamed(one) for one in unnamed_parts(analysis.circuit)],
        "findings": [_finding(finding) for finding in analysis.findings],
        "checks": [
            {
                "title": check.title,
                "against": check.against,
                "outcome": check.outcome,
                "left_out": check.left_out,
            }
            for check in analysis.checks
        ],
    }


def quantity_json(quantity: Quantity) -> Json:
    """One quantity: value, unit and expanded uncertainty."""
    return {"value": quantity.value, "unit": quantity.unit, "uncertainty": quantity.expanded}


def _finite(number: float) -> float | None:
    return number if math.isfinite(number) else None


def _situation(result: SituationResult) -> Json:
    if not isinstance(result, SolvedSituation):
        return {
            "title": result.situation.title,
            "solved": False,
            "what": result.what,
            "remedy": result.remedy,
            "unsettled_nets": list(result.nets),
            "nets": {},
            "undetermined": [],
            "parts": {},
            "supplies": {},
        }
    return {
        "title": result.situation.title,
        "solved": True,
        "nets": {net: {"voltage": quantity_json(voltage)} for net, voltage in result.nets.items()},
        "undetermined": list(result.undetermined),
        "parts": {reference: _part(state) for reference, state in result.parts.items()},
        "supplies": {reference: _supply(state) for reference, state in result.supplies.items()},
    }


def _part(state: PartState) -> Json:
    told = {"voltage": state.voltage, "current": state.current, "power": state.power}
    return {name: quantity_json(quantity) for name, quantity in told.items() if quantity is not None}


def _supply(state: SupplyState) -> Json:
    told = {"current": state.current, "power": state.power}
    return {name: quantity_json(quantity) for name, quantity in told.items() if quantity is not None}


def _reading(measured: Measured) -> Json:
    unit = measured.quantity.unit
    causes = {
        "scatter": measured.scatter,
        "accuracy": measured.accuracy,
        "resolution": measured.resolution,
        "stated": measured.stated,
        "sampling": measured.sampling,
    }
    return {
        "name": measured.name,
        "situation": measured.reading.situation,
        "target": str(measured.reading.target),
        "instrument": measured.reading.instrument,
        "read": quantity_json(measured.quantity),
        "over_range": measured.over_range,
        "standard_uncertainty": {name: {"value": value, "unit": unit} for name, value in causes.items()},
        "doubts": list(measured.doubts),
        "notes": list(measured.notes),
    }


def _comparison(one: Comparison) -> Json:
    return {
        "reading": one.reading,
        "situation": one.measured.reading.situation,
        "target": str(one.measured.reading.target),
        "read": quantity_json(one.measured.quantity),
        "predicted": quantity_json(one.predicted),
        "difference": quantity_json(Quantity(one.difference, one.predicted.unit, one.uncertainty)),
        "score": _finite(one.score),
        "fit": one.fit,
        "over_range": {"read": one.measured.over_range, "predicted": one.over_range},
        "causes": dict(one.causes),
        "meter_load_included": one.loaded,
        "seen": one.seen,
    }


def _claim(result: ClaimResult) -> Json:
    claim, verdict = result.claim, result.verdict
    return {
        "name": claim.name,
        "kind": claim.kind,
        "says": claim.says,
        "where": claim.where,
        "sense": claim.read_as,
        "printed": result.printed,
        "claimed": None if result.claimed is None else quantity_json(result.claimed),
        "low": result.low,
        "high": result.high,
        "found": None if result.found is None else quantity_json(result.found),
        "shown": result.shown,
        "verdict": verdict.words,
        "probability": verdict.probability,
        "why": getattr(verdict, "why", ""),
        "needs": getattr(verdict, "needs", ""),
        "sum": result.sum,
        "shares": [
            {
                "role": share.role,
                "source": share.source,
                "quantity": quantity_json(share.quantity),
                "fraction": share.fraction,
            }
            for share in result.shares
        ],
        "notes": list(result.notes),
        "trials": [trial.name for trial in result.trials],
    }


def _hazard(hazard: Hazard) -> Json:
    return {
        "check": hazard.check,
        "title": hazard.title,
        "outcome": hazard.outcome,
        "severity": hazard.severity,
        "what": hazard.what,
        "value": None if hazard.value is None else quantity_json(hazard.value),
        "limit": None if hazard.limit is None else quantity_json(hazard.limit),
        "limit_says": hazard.limit_says,
        "source": hazard.source,
        "from_memory": hazard.from_memory,
        "assumed": list(hazard.assumed),
        "not_checked": list(hazard.not_checked),
        "parts": list(hazard.parts),
        "nets": list(hazard.nets),
        "situations": list(hazard.situations),
        "remedy": hazard.remedy,
    }


def _block(block: Block) -> Json:
    return {
        "kind": block.kind,
        "title": block.title,
        "parts": list(block.parts),
        "roles": {role: list(parts) for role, parts in block.roles.items()},
        "nets": dict(block.nets),
        "purpose": block.purpose,
        "sums": [_sum(one) for one in block.sums],
        "unusual": list(block.unusual),
        "if_it_fails": list(block.if_it_fails),
    }


def _economy(one: Economy) -> Json:
    return {
        "kind": one.kind,
        "title": one.title,
        "what": one.what,
        "consequence": one.consequence,
        "perhaps_because": one.why,
        "parts": list(one.parts),
        "source": one.source,
    }


def _unnamed(one: Unnamed) -> Json:
    return {
        "part": one.reference,
        "guesses": [
            {
                "kind": guess.kind,
                "title": guess.title,
                "share": guess.share,
                "reasons": list(guess.reasons),
                "against": list(guess.against),
            }
            for guess in one.guesses
        ],
        "pins": [{"pin": pin.pin, "net": pin.net, "role": pin.role, "why": pin.why} for pin in one.pins],
    }


def _sum(one: Sum) -> Json:
    return {
        "says": one.says,
        "formula": one.formula,
        "numbers": one.numbers,
        "result": quantity_json(one.result),
        "letters": {letter: quantity_json(quantity) for letter, quantity in one.letters.items()},
        "source": one.source,
        "beside": [
            {
                "what": other.what,
                "situation": other.situation,
                "quantity": quantity_json(other.quantity),
                "how": other.how,
            }
            for other in one.beside
        ],
    }


def _finding(finding: Finding) -> Json:
    return {
        "name": finding.name,
        "title": finding.title,
        "severity": finding.severity,
        "what": finding.what,
        "evidence": finding.evidence,
        "remedy": finding.remedy,
        "source": finding.source,
        "parts": list(finding.parts),
        "nets": list(finding.nets),
        "claims": list(finding.claims),
        "readings": list(finding.readings),
        "situations": list(finding.situations),
    }


def dossier_schema() -> Json:
    """JSON Schema of ``dossier.toml``, made from the table that the loader reads by.

    Returns
    -------
    dict
        As of JSON Schema, draft 2020-12. It holds the form of the file; units, names and kinds are checked on loading.
    """
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "description": "A dossier: one device, its claims, readings and circuit. Values are texts with units.",
        **schema_of(DOSSIER),
    }


def dossier_schema_text() -> str:
    """Text of the schema's file in the package."""
    return json.dumps(dossier_schema(), indent=2, ensure_ascii=False) + "\n"


def analysis_schema() -> Json:
    """JSON Schema of what `analysis_json` returns.

    Returns
    -------
    dict
        As of JSON Schema, draft 2020-12; keys that it does not name may be there too.
    """
    text = (
        resources.files("lidoff.dossier").joinpath("schema/analysis.schema.json").read_text(encoding="utf-8")
    )
    schema: Json = json.loads(text)
    return schema
