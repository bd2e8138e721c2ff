"""The page of every kind of claim, made from the catalogue, with its examples worked out."""

from __future__ import annotations

from collections.abc import Iterator

from lidoff.evidence import ClaimKind, Example, Way, all_claim_kinds

__all__ = ["claims_text"]

_READ = {
    "at least": "at least as much as printed",
    "at most": "at most as much as printed",
    "about": "within 10 % of what is printed, unless a tolerance is told",
    "exactly": "exactly as many as printed",
    "within": "within the band that the word stands for",
    "noted": "noted and explained, not judged",
}

_BOUNDS = {
    "lower": "a lower bound: it can speak against “at most” and for “at least”, and leaves open whatever lies above it",
    "upper": "an upper bound: it can speak against “at least” and for “at most”, and leaves open whatever lies below it",
}


def claims_text() -> str:
    """Markdown page of every kind of claim."""
    return "\n".join([*_page(), ""])


def _page() -> Iterator[str]:
    yield "# Kinds of claim"
    yield ""
    yield "Made from the catalogue of kinds by `scripts/write_dossier_reference.py`: do not edit."
    yield ""
    yield "Boxes, words and figures in the examples are invented. How verdicts come about is told in"
    yield "[Evidence](evidence.md); how a kind is added in [Adding a kind of claim](adding-a-claim.md)."
    for kind in all_claim_kinds().values():
        yield ""
        yield f"## `{kind.name}`: {kind.title}"
        yield ""
        unit = f" Kept in {kind.unit}." if kind.unit not in ("", "1") else ""
        yield f"Tests {kind.says}. Read as: {_READ[kind.sense]}.{unit}"
        yield ""
        yield f"Method: {kind.source}."
        if kind.cautions:
            yield ""
            yield f"Mind: {kind.cautions}"
        yield from _ways(kind)
        yield from _words(kind)
        yield from _examples(kind)


def _ways(kind: ClaimKind) -> Iterator[str]:
    for way in kind.ways:
        yield ""
        yield f"- {_sum(way)}"
        yield from (f"  - `{role.name}`: {role.title}{_in_unit(role.unit)}" for role in way.inputs)
        if way.estimate:
            yield f"  - an estimate, not a measurement: {way.estimate}"
        if way.bound:
            yield f"  - {_BOUNDS[way.bound]}"
        if way.cautions:
            yield f"  - {way.cautions}"


def _in_unit(unit: str) -> str:
    return f" [{unit}]" if unit not in ("", "1") else ""


def _sum(way: Way) -> str:
    if way.is_plain:
        return f"`{way.inputs[0].name}` as it is read"
    return way.written.format(**{role.name: f"`{role.name}`" for role in way.inputs})


def _words(kind: ClaimKind) -> Iterator[str]:
    if not kind.named:
        return
    yield ""
    yield "| word | stands for | from |"
    yield "|---|---|---|"
    for word, band in kind.named.items():
        yield f"| {word} | {band} | {band.source} |"


def _examples(kind: ClaimKind) -> Iterator[str]:
    yield ""
    yield "| printed | claimed | read | found | verdict |"
    yield "|---|---|---|---|---|"
    for example in kind.examples:
        yield f"| “{example.says}” | {example.value} | {_read(example)} | {example.found or '–'} | {example.verdict} |"


def _read(example: Example) -> str:
    return "; ".join(f"{role.replace('_', ' ')} {text}" for role, text in example.inputs.items()) or "nothing"
