"""Light on eye and skin: ultraviolet and blue, from the spectrum, power and distance that the dossier tells."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from lidoff.hazards.check import Hazard, HazardCheck, at_most
from lidoff.hazards.limits import FROM_MEMORY, limit_table
from lidoff.hazards.subject import Subject
from lidoff.hazards.told import Light
from lidoff.quantities import Quantity, format_quantity, propagate

__all__ = [
    "MEMBERS",
    "actinic_weight",
    "blue_weight",
    "irradiance_at",
    "near_ultraviolet_weight",
    "permitted_time",
    "weighted_share",
]

Array = NDArray[np.float64]
EIGHT_HOURS = Quantity(28800.0, "s")
STEPS = 2001  # of the spectrum's wavelengths: closer than a hundredth of its width
REACH = 4.0  # half widths on either side of the peak beyond which a spectrum is taken as dark


def actinic_weight(wavelength: Array) -> Array:
    """Weight of ultraviolet light for eye and skin, zero outside 180 to 400 nm.

    Parameters
    ----------
    wavelength : ndarray of shape (N,)
        [m]

    Returns
    -------
    ndarray of shape (N,)
        The table's values; between them, straight lines of the logarithm.

    References
    ----------
    .. [1] ICNIRP, Health Physics 87(2), 171-186, 2004, Table 1.
    """
    return _table_weight("actinic_weights", wavelength)


def blue_weight(wavelength: Array) -> Array:
    """Weight of light for the photochemical harm to the retina, zero outside 300 to 700 nm.

    Parameters
    ----------
    wavelength : ndarray of shape (N,)
        [m]

    Returns
    -------
    ndarray of shape (N,)
        The table's values; between them, straight lines of the logarithm.

    References
    ----------
    .. [1] IEC 62471:2006, Table 4.2.
    """
    return _table_weight("blue_weights", wavelength)


def near_ultraviolet_weight(wavelength: Array) -> Array:
    """One from 315 to 400 nm, else zero."""
    nanometres = 1e9 * np.asarray(wavelength)
    return np.where((nanometres >= 315.0) & (nanometres <= 400.0), 1.0, 0.0)


def _table_weight(name: str, wavelength: Array) -> Array:
    table = limit_table(name).entries
    at, weights = np.array(table["wavelength"], dtype=float), np.array(table["weight"], dtype=float)
    nanometres = np.round(1e9 * np.asarray(wavelength, dtype=float), 9)
    between = np.exp(np.interp(nanometres, at, np.log(weights)))
    return np.where((nanometres >= at[0]) & (nanometres <= at[-1]), between, 0.0)


def weighted_share(weight: Callable[[Array], Array], peak: float, width: float) -> float:
    """Share of a bell-shaped spectrum's power that counts under a weight.

    Parameters
    ----------
    weight : callable (wavelengths) → weights
    peak, width : float
        Wavelength of the peak, and full width at half of it [m].

    Returns
    -------
    float
        ∫ s(λ)·w(λ) dλ with ∫ s(λ) dλ = 1, s a Gaussian.
    """
    wavelengths = np.linspace(peak - REACH * width, peak + REACH * width, STEPS)
    bell = np.exp(-4.0 * math.log(2.0) * ((wavelengths - peak) / width) ** 2)
    return float((bell * weight(wavelengths)).sum() / bell.sum())


def irradiance_at(power: float, distance: float, beam_angle: float) -> float:
    """Irradiance on the axis of a small source.

    Parameters
    ----------
    power : float
        Radiant power [W].
    distance : float
        [m]
    beam_angle : float
        Full angle of a cone evenly filled [rad]; zero for a source after Lambert, whose intensity on the axis is P/π.

    Returns
    -------
    float
        [W/m²]

    Examples
    --------
    >>> round(irradiance_at(1.0, 1.0, 0.0), 4)
    0.3183
    """
    solid_angle = 2.0 * math.pi * (1.0 - math.cos(beam_angle / 2.0)) if beam_angle else math.pi
    return power / (solid_angle * distance**2)


def permitted_time(irradiance: float, exposure: float) -> float:
    """Time in which an irradiance reaches an exposure [s]; infinite in the dark."""
    return exposure / irradiance if irradiance > 0.0 else math.inf


def _look(subject: Subject) -> tuple[Hazard, ...]:
    return tuple(hazard for light in subject.lights for hazard in _answers(light))


def _answers(light: Light) -> tuple[Hazard, ...]:
    told = light.read("exposure")
    exposure = told or EIGHT_HOURS
    limits = limit_table("light_limits").entries
    actinic = _irradiance(light, actinic_weight)
    near = _irradiance(light, near_ultraviolet_weight)
    blue = _irradiance(light, blue_weight)
    for_long = exposure.value > 1000.0
    near_limit = (
        Quantity(limits["near_ultraviolet"]["irradiance"], "W/m²")
        if for_long
        else Quantity(limits["near_ultraviolet"]["exposure"] / exposure.value, "W/m²")
    )
    day = f"for {format_quantity(exposure)} a day"
    return (
        _judged(
            light,
            "actinic",
            "ultraviolet, eye and skin",
            actinic,
            Quantity(limits["actinic"]["exposure"] / exposure.value, "W/m²"),
            f"weighted irradiance {day}, from 30 J/m²",
            f"30 J/m² are reached after {_time(permitted_time(actinic.value, limits['actinic']['exposure']))}",
        ),
        _judged(
            light,
            "near_ultraviolet",
            "ultraviolet from 315 to 400 nm, eye",
            near,
            near_limit,
            f"irradiance {day}",
            f"10 kJ/m² are reached after {_time(permitted_time(near.value, limits['near_ultraviolet']['exposure']))}",
        ),
        _judged(
            light,
            "blue",
            "blue light, retina",
            blue,
            Quantity(limits["blue"]["irradiance"], "W/m²"),
            "weighted irradiance of a small source, looked at for more than 100 s",
            "",
        ),
    )


def _irradiance(light: Light, weight: Callable[[Array], Array]) -> Quantity:
    """Weighted irradiance with the uncertainty of power, distance, peak and width."""
    angle = light.read("beam_angle")
    inputs = [
        one for key in ("radiant_power", "distance", "peak", "width") if (one := light.read(key)) is not None
    ]
    beam = angle.value if angle is not None else 0.0

    def reckon(power: float, distance: float, peak: float, width: float) -> float:
        return irradiance_at(power, distance, beam) * weighted_share(weight, peak, width)

    return propagate(reckon, inputs, unit="W/m²")


def _time(seconds: float) -> str:
    if seconds > 28800.0:
        return "more than eight hours"
    return format_quantity(Quantity(seconds, "s"), digits=2)


def _judged(
    light: Light, row: str, of: str, found: Quantity, limit: Quantity, says: str, reached: str
) -> Hazard:
    entry = limit_table("light_limits").entries[row]
    outcome = at_most(found, limit)
    angle = light.read("beam_angle")
    assumed = [
        "a bell-shaped spectrum with one peak",
        f"an even cone of {light.beam_angle}" if angle is not None else "an even glow after Lambert",
        "a source that is small against the distance, looked at on its axis",
        "nothing in between but air, no glass, no eyewear",
    ]
    if not light.exposure:
        assumed.append("eight hours a day")
    what = (
        f"At {light.distance} from {', '.join(light.parts) or light.name} ({light.radiant_power} of radiant power, peak at "
        f"{light.peak}, {light.width} wide), the irradiance that counts for {of} is {format_quantity(found)}"
    )
    return Hazard(
        check="light",
        title=f"light of {light.name.replace('_', ' ')}: {of}",
        outcome=outcome,
        severity="caution",
        what=f"{what}; {reached}." if reached else f"{what}.",
        value=found,
        limit=limit,
        limit_says=says,
        source=f"{entry['source']} ({FROM_MEMORY if entry['from_memory'] else entry['seen']})",
        from_memory=entry["from_memory"],
        assumed=tuple(assumed),
        parts=light.parts,
        remedy="cover the source or wear rated eye protection, and keep skin away; measure with a radiometer made for the band",
    )


MEMBERS = (
    HazardCheck(
        name="light",
        title="Light",
        look=_look,
        says="How much ultraviolet and blue light reaches eye and skin at a distance, and for how long it may.",
        source="ICNIRP 2004; Directive 2006/25/EC, Annex I; IEC 62471:2006",
        cautions=("uv",),
        not_checked=(
            "lasers and their classes",
            "heat on retina, cornea and skin",
            "eyes without a lens, small children, and skin made sensitive by drugs",
            "a measured spectrum",
        ),
    ),
)
