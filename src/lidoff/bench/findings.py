"""Findings of an analysis with a key each, and what the analyst said of them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from lidoff.bench.live import Full
from lidoff.dossier.edits import Decide

__all__ = ["finding_key", "named_finding", "with_decisions"]

ABOUT = ("parts", "nets", "claims", "readings", "situations")


def finding_key(finding: Mapping[str, object]) -> str:
    """Key of a finding: the same for the same name about the same things."""
    told = json.dumps([finding["name"], [finding.get(name, []) for name in ABOUT]])
    return hashlib.sha256(told.encode("utf-8")).hexdigest()[:16]


def with_decisions(analysis: Mapping[str, object], document: Mapping[str, object]) -> dict[str, object]:
    """Analysis whose findings carry their key and what was said of them.

    Parameters
    ----------
    analysis : mapping
        Plain data.
    document : mapping
        Plain data of ``dossier.toml``.

    Returns
    -------
    dict
        A new one.
    """
    said = {}
    rows = document.get("decisions", {})
    for row in rows.values() if isinstance(rows, Mapping) else ():
        about = {name: row.get(name, []) for name in ABOUT}
        said[finding_key({"name": row.get("finding", ""), **about})] = row
    findings = []
    for finding in _list(analysis.get("findings")):
        key = finding_key(finding)
        row = said.get(key)
        decision = None if row is None else {"says": row.get("says", ""), "reason": row.get("reason", "")}
        findings.append({**finding, "key": key, "decision": decision})
    return {**analysis, "findings": findings}


def named_finding(edit: Decide, full: Full | None) -> Decide:
    """Edit in which a decision names its finding in full, where it gave the key alone.

    Parameters
    ----------
    edit : Decide
        As asked.
    full : Full or None
        Latest full analysis.

    Returns
    -------
    Decide
        The same for a key that is not known.
    """
    if full is None or full.analysis is None:
        return edit
    for finding in _list(full.analysis.get("findings")):
        if finding_key(finding) == edit.finding:
            told: dict[str, Any] = {name: tuple(map(str, _list(finding.get(name)))) for name in ABOUT}
            return replace(edit, finding=str(finding["name"]), **told)
    return edit


def _list(value: object) -> Sequence[Mapping[str, object]]:
    return value if isinstance(value, (list, tuple)) else ()
