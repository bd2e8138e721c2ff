"""What the shelf remembers of one dossier: enough to find it and to answer for it without opening it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from lidoff.circuit import kind_of
from lidoff.dossier import Analysis
from lidoff.evidence import ClaimResult
from lidoff.shelf.fingerprint import circuit_labels

__all__ = ["ShelfBlock", "ShelfClaim", "ShelfEntry", "ShelfNumber", "ShelfPart", "entry_of"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfPart:
    """One part: its reference, its kind, and what is printed on it."""

    reference: str
    kind: str
    marking: str = ""
    package: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfNumber:
    """One number of a part.

    Attributes
    ----------
    reference, parameter : str
        Of which part, and which of its numbers.
    value : float
        In `unit`.
    unit : str
        In which numbers of its sort are kept.
    """

    reference: str
    parameter: str
    value: float
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfBlock:
    """One block that was recognised: its kind, its title and its parts."""

    kind: str
    title: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfClaim:
    """One claim with its verdict.

    Attributes
    ----------
    name, kind, says, sense, verdict : str
        As told; `verdict` in words.
    claimed, found : float or None
        In `unit`; None where there is no number.
    unit : str
        Unit of both.
    """

    name: str
    kind: str
    says: str
    sense: str
    verdict: str
    claimed: float | None
    found: float | None
    unit: str

    @property
    def overstated(self) -> float | None:
        """How many times better the claim is than what was found; None where that cannot be said.

        Above one, the claim promises more than was found: more where it means "at least", less where it means "at most".
        """
        if self.claimed is None or self.found is None or self.claimed <= 0.0 or self.found <= 0.0:
            return None
        return self.found / self.claimed if self.sense == "at most" else self.claimed / self.found


@dataclass(frozen=True, slots=True, kw_only=True)
class ShelfEntry:
    """One dossier.

    Attributes
    ----------
    folder : str
        Where it lies, below the shelf's own folder, with ``/``.
    title, maker, model : str
        Of the device.
    parts, numbers, blocks, claims : tuples
        What it is made of and what was claimed.
    texts : mapping of str to str
        By place in the dossier: words to be searched.
    labels : mapping of int to int
        From `circuit_labels`.
    """

    folder: str
    title: str
    maker: str = ""
    model: str = ""
    parts: tuple[ShelfPart, ...] = ()
    numbers: tuple[ShelfNumber, ...] = ()
    blocks: tuple[ShelfBlock, ...] = ()
    claims: tuple[ShelfClaim, ...] = ()
    texts: Mapping[str, str] = field(default_factory=dict)
    labels: Mapping[int, int] = field(default_factory=dict)


def entry_of(folder: str, analysis: Analysis) -> ShelfEntry:
    """Entry of an analysed dossier.

    Parameters
    ----------
    folder : str
        Where it lies on the shelf.
    analysis : Analysis
        Of that dossier.

    Returns
    -------
    ShelfEntry
        The same for the same dossier, wherever and whenever it is made.
    """
    dossier, circuit = analysis.dossier, analysis.circuit
    packages = {part.reference: part.package for part in dossier.parts}
    markings = {part.reference: part.marking for part in dossier.parts}
    return ShelfEntry(
        folder=folder,
        title=dossier.device.title,
        maker=dossier.device.maker,
        model=dossier.device.model,
        parts=tuple(
            ShelfPart(
                reference=part.reference,
                kind=part.kind,
                marking=markings.get(part.reference, part.marking),
                package=packages.get(part.reference, ""),
            )
            for part in circuit.parts
        ),
        numbers=tuple(_numbers(analysis)),
        blocks=tuple(
            ShelfBlock(kind=block.kind, title=block.title, parts=tuple(block.parts))
            for block in analysis.blocks
        ),
        claims=tuple(_claim(result) for result in analysis.claims),
        texts=dict(_texts(analysis)),
        labels=circuit_labels(circuit),
    )


def _numbers(analysis: Analysis) -> Iterator[ShelfNumber]:
    for part in analysis.circuit.parts:
        known = kind_of(part).parameters_of(part)
        for name, value in part.values.items():
            if isinstance(value, int | float) and name in known and known[name].unit:
                yield ShelfNumber(
                    reference=part.reference, parameter=name, value=float(value), unit=known[name].unit
                )


def _claim(result: ClaimResult) -> ShelfClaim:
    claimed, found = result.claimed, result.found
    comparable = claimed is not None and found is not None and claimed.unit == found.unit
    return ShelfClaim(
        name=result.claim.name,
        kind=result.claim.kind,
        says=result.claim.says,
        sense=_sense(result),
        verdict=result.verdict.words,
        claimed=None if claimed is None else claimed.value,
        found=found.value if found is not None and comparable else None,
        unit="" if claimed is None else claimed.unit,
    )


def _sense(result: ClaimResult) -> str:
    """Which side of the claim would be better than printed, told by the limits it was held against."""
    if result.low is not None and result.high is None:
        return "at least"
    if result.high is not None and result.low is None:
        return "at most"
    return "about"


def _texts(analysis: Analysis) -> Iterator[tuple[str, str]]:
    dossier = analysis.dossier
    device = dossier.device
    yield "device", " ".join((device.title, device.maker, device.model, device.summary, device.bought))
    for claim in dossier.claims:
        yield f"claims.{claim.name}", " ".join((claim.says, claim.where, claim.note))
    for part in dossier.parts:
        words = (part.reference, part.kind.replace("_", " "), part.marking, part.package, part.does)
        yield f"parts.{part.reference}", " ".join((*words, *part.values.values()))
    for number, block in enumerate(analysis.blocks):
        yield f"blocks.{number}", " ".join((block.title, block.purpose))
    for number, finding in enumerate(analysis.findings):
        yield f"findings.{number}", " ".join((finding.title, finding.what))
    for trial in dossier.trials:
        yield f"trials.{trial.name}", " ".join((trial.what, trial.seen))
    for number, note in enumerate(dossier.notes):
        yield f"notes.{number}", note
