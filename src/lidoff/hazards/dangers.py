"""Dangers that show by themselves: a mains supply, charge that stays, lithium cells, ultraviolet light, lasers, heat."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from lidoff.circuit import Circuit, settings_of
from lidoff.evidence import CAUTIONS, Finding
from lidoff.hazards.check import Hazard, all_hazard_checks
from lidoff.hazards.joins import dangerous_nets
from lidoff.hazards.spectra import measured_spectrum
from lidoff.hazards.told import Laser, Light
from lidoff.hazards.watching import chemistry_of
from lidoff.hazards.weights import ACTINIC, NEAR_ULTRAVIOLET
from lidoff.hazards.words import listed
from lidoff.quantities import Quantity, format_quantity

__all__ = ["Danger", "danger_findings", "dangers_of"]

ULTRAVIOLET = 400e-9
"""Longest wavelength at which a peak counts as ultraviolet [m]: where the exposure limits for it end."""
MOST_REASONS = 3
"""So many reasons are told for one danger; the chapter on hazards tells all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Danger:
    """One danger that was found, whatever the dossier says of it.

    Attributes
    ----------
    word : str
        Its word in `lidoff.evidence.CAUTIONS`.
    reasons : tuple of str
        From what it was found, each with where: circuit, lights, lasers or hazards.
    """

    word: str
    reasons: tuple[str, ...]

    @property
    def why(self) -> str:
        """Its reasons in one line."""
        more = len(self.reasons) - MOST_REASONS
        return "; ".join(self.reasons[:MOST_REASONS]) + (f"; {more} more" if more > 0 else "")


def dangers_of(
    circuit: Circuit,
    *,
    lights: Sequence[Light] = (),
    lasers: Sequence[Laser] = (),
    hazards: Sequence[Hazard] = (),
) -> tuple[Danger, ...]:
    """Dangers that circuit, lights, lasers and hazards show.

    Parameters
    ----------
    circuit : Circuit
    lights : sequence of Light, optional
    lasers : sequence of Laser, optional
    hazards : sequence of Hazard, optional
        Answers of the checks.

    Returns
    -------
    tuple of Danger
        One a word, in the order of `lidoff.evidence.CAUTIONS`. None found is no answer that there is none.
    """
    found: dict[str, dict[str, None]] = {}
    for word, reason in (
        *_from_circuit(circuit),
        *_from_lights(lights),
        *(("laser", f"among the lasers: {_plain(one.name)}") for one in lasers),
        *_from_hazards(hazards),
    ):
        found.setdefault(word, {})[reason] = None
    return tuple(Danger(word=word, reasons=tuple(found[word])) for word in CAUTIONS if word in found)


def danger_findings(dangers: Iterable[Danger], named: Sequence[str]) -> tuple[Finding, ...]:
    """Findings of the dangers that a dossier does not name.

    Parameters
    ----------
    dangers : iterable of Danger
    named : sequence of str
        Words among the dossier's cautions.

    Returns
    -------
    tuple of Finding
        Each of severity "caution", with the words that a report prints.
    """
    return tuple(
        Finding(
            name="danger",
            title=f"Danger found: {'UV light' if one.word == 'uv' else one.word}",
            severity="caution",
            what=f"Found {one.why}. {CAUTIONS[one.word]}",
            remedy=f'reports print this caution by themselves; add "{one.word}" to the cautions to name it in the dossier too',
        )
        for one in dangers
        if one.word not in named
    )


def _plain(name: str) -> str:
    return name.replace("_", " ")


def _from_circuit(circuit: Circuit) -> Iterator[tuple[str, str]]:
    for part in circuit.parts:
        if dangerous_nets(Circuit(parts=(part,))):
            volts = format_quantity(Quantity(settings_of(part)["voltage"], "V"))
            yield (
                "mains",
                f"in the circuit: {part.reference} supplies {volts} AC between {listed(tuple(part.pins.values()))}",
            )
        chemistry = chemistry_of(part)
        if "lithium" in chemistry:
            taken = "is" if "chemistry" in part.values else "of no told chemistry is taken for"
            yield "lithium", f"in the circuit: {part.reference} {taken} a {chemistry} cell"


def _from_lights(lights: Sequence[Light]) -> Iterator[tuple[str, str]]:
    for light in lights:
        peak = light.read("peak")
        if peak is None and light.content is not None:
            peak = Quantity(measured_spectrum(light.content).peak, "m")
        if peak is not None and peak.value < ULTRAVIOLET:
            yield "uv", f"among the lights: {_plain(light.name)} has its peak at {format_quantity(peak)}"


def _from_hazards(hazards: Sequence[Hazard]) -> Iterator[tuple[str, str]]:
    """Words of the checks whose answers are beyond a limit; charge counts also where its fall cannot be told."""
    checks = all_hazard_checks()
    for hazard in hazards:
        beyond = hazard.outcome == "beyond the limit"
        if hazard.check not in checks or hazard.check == "single faults" or not hazard.flagged:
            continue  # what a fault would do is not what is at hand
        for word in checks[hazard.check].cautions:
            if word == "mains":
                continue  # by its supply alone: insulation is asked for at lower voltages too
            if word == "uv" and not hazard.title.endswith((ACTINIC.title, NEAR_ULTRAVIOLET.title)):
                continue  # blue light
            if beyond or word == "stored charge":
                yield word, f"among the hazards: {'' if beyond else 'cannot tell: '}{hazard.title}"
